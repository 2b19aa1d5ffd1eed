//go:build !windows

package main

import (
	"io/fs"
	"os"
	"syscall"
)

// hardLinks returns how many names a file has.
func hardLinks(info fs.FileInfo) uint64 {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(s.Nlink)
	}
	return 1
}

// keepOwner gives a file the owner and the group of another, as far as this user may.
// It reports whether the group is that of the other.
func keepOwner(f *os.File, other fs.FileInfo) (sameGroup bool) {
	s, ok := other.Sys().(*syscall.Stat_t)
	if !ok {
		return false
	}
	return f.Chown(int(s.Uid), int(s.Gid)) == nil || f.Chown(-1, int(s.Gid)) == nil
}
