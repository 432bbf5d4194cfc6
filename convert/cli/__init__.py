"""The command line: one file a command, and `main`, which turns errors into exit statuses."""
