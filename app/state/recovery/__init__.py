"""Work that is not saved yet: kept while it is edited, offered again after a power cut."""
