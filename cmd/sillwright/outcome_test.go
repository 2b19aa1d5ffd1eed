package main

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestExitCode(t *testing.T) {
	for _, c := range []struct {
		err  error
		want int
	}{
		{nil, exitOK},
		{incomplete, exitIncomplete},
		{failed, exitNothing},
		{misuse("no command %q", "frame"), exitUsage},
		{fmt.Errorf("in use: %w", misuse("no file")), exitUsage},
		{fileError{"a.xlsx", errors.New("it exists")}, exitNothing},
		{errors.New("the disk is full"), exitNothing},
	} {
		assert.Equal(t, c.want, exitCode(c.err), "%v", c.err)
	}
}

func TestCombine(t *testing.T) {
	for _, c := range []struct {
		shows string
		files []outcome
		want  outcome
	}{
		{"no file", nil, failed},
		{"all well", []outcome{succeeded, succeeded}, succeeded},
		{"one incomplete", []outcome{succeeded, incomplete}, incomplete},
		{"one failed of several", []outcome{failed, succeeded}, incomplete},
		{"one failed, one incomplete", []outcome{incomplete, failed}, incomplete},
		{"all failed", []outcome{failed, failed}, failed},
	} {
		assert.Equal(t, c.want, combine(c.files), c.shows)
	}
	assert.Equal(t, incomplete, batch{unread: 1}.outcome([]outcome{succeeded}), "a folder that cannot be read counts as a file that failed")
}
