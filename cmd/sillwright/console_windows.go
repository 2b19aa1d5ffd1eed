package main

import (
	"syscall"
	"unsafe"
)

// ownConsole reports whether the system opened a console for this program alone,
// as it does after a double click: then no other process is attached to it. From a
// command prompt, that is attached too.
func ownConsole() bool {
	var attached [2]uint32
	n, _, _ := syscall.NewLazyDLL("kernel32.dll").NewProc("GetConsoleProcessList").
		Call(uintptr(unsafe.Pointer(&attached[0])), uintptr(len(attached)))
	return n == 1
}
