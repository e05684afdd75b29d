// Package journalfile keeps the journal in a SQLite file, behind one writer.
package journalfile
