"""The commands. They read arguments, call the works, and print; they compute nothing."""
