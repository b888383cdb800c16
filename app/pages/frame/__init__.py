"""What stands around the pages: top line, left side, foot, menus, and the ways between them."""
