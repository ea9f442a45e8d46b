"""A formula worked over: document to document, with what stays the same said and kept."""
