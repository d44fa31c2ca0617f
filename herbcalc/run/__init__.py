"""Floor 6. What the commands do: the environment, the person's copies, the notebook server, the tests.

Standard library only: all of it must run before anything is installed.
"""
