"""The pages: one file a group of addresses, one function a page."""
