"""What is handed out as a file: calendars."""
