// Package begin makes new steps of notes: of a voice of a score, of a pattern,
// and a warm-up through all keys. Pure.
package begin
