package main

import (
	"fmt"
	"io"
)

// waitForKey keeps the window of a program that was started by a double click, or
// by files dropped on it, until the user has read what it says. Only a console
// that the system opened for the program alone closes with it (see ownConsole).
func waitForKey(stdin io.Reader, w io.Writer) {
	fmt.Fprint(w, "\nPress Enter to close this window.")
	_, _ = stdin.Read(make([]byte, 1))
}
