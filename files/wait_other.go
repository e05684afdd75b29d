//go:build !unix

package files

// withoutWaiting is for systems that have pipes among their files.
const withoutWaiting = 0
