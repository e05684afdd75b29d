// Package journal is what a player's practice leaves behind: every rep, gathered
// by session, by step and by day, and what follows of it for today. It knows no
// file, clock or database; package journalfile keeps it.
package journal
