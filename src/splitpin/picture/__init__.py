"""One found picture and what is known of it: source, author, date, licence, scan pixels per inch."""
