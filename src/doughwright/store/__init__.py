"""The library: documents and all their revisions in a database."""
