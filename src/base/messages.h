/* The table of all messages about files: MESSAGE(id, level, text with printf words).
 * Included several times; defines nothing itself.  Each one has a file in tests/bad and
 * an entry in the manual. */
MESSAGE(UNREADABLE, LEVEL_ERROR, "cannot be read: %s; check the name and its permissions")
