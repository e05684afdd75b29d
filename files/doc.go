// Package files opens what is a plain file and nothing else, and replaces a
// file whole or not at all. Every room that reads or writes the disk may use
// it; it knows none of them.
package files
