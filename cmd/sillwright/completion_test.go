package main

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The script is run by a shell, as a terminal would.
func TestCompletion(t *testing.T) {
	script := succeed(t, "completion", "bash").stdout
	bash, err := exec.LookPath("bash")
	require.NoError(t, err, "CI runs in bash")
	complete := func(words ...string) []string {
		t.Helper()
		run := script + "\nCOMP_WORDS=(" + strings.Join(words, " ") + ")\nCOMP_CWORD=$((${#COMP_WORDS[@]} - 1))\n_sillwright\necho \"${COMPREPLY[@]}\"\n"
		out, err := exec.Command(bash, "--norc", "-c", run).Output()
		require.NoError(t, err)
		return strings.Fields(string(out))
	}
	assert.Equal(t, []string{"estimate"}, complete("sillwright", "est"))
	assert.Equal(t, []string{"--prices", "--problems"}, complete("sillwright", "estimate", "--pr"))
	assert.Equal(t, []string{"--stock"}, complete("sillwright", "cut", "pieces.csv", "--st"))
	assert.Empty(t, complete("sillwright", "estimate", "job"), "a file is for the shell to complete")
	assert.True(t, strings.HasPrefix(succeed(t, "completion", "zsh").stdout, "autoload"))
	assert.Equal(t, exitUsage, sillwright("completion", "fish").code)
}
