// Package routine reads, checks and writes routine files: YAML, version 1 of
// the format, with the place of every value kept.
//
// [Parse] and [Load] answer with a [File] or with [Errors], each of which reads
// "file:line:col: what is wrong; what would be right". [File.Set] changes only
// the text of what differs, so that comments, the order of keys and every
// other line stay as they were written. [File.Save] writes a file whole or not
// at all, and refuses when someone else has changed it meanwhile.
package routine
