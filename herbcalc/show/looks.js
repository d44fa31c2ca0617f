// The style sheet of a kind of widget, put into the page once. anywidget would write it anew for every widget of the
// kind, and each time the browser would look at the whole page again. Another text under the same name is that of a
// newer workbook.
function wear(name, looks) {
  const worn = document.getElementById(name);
  if (worn?.textContent === looks) return;
  const style = worn ?? document.head.appendChild(Object.assign(document.createElement("style"), { id: name }));
  style.textContent = looks;
}
