//go:build !windows

package main

// ownConsole reports whether the system opened a console for this program alone.
// Only Windows does: elsewhere a program started by a double click has no terminal,
// or one that stays.
func ownConsole() bool { return false }
