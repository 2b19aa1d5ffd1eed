package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the owner brings is on no order, which is complete without it; an edit of the
// estimate that says so holds in the order too, and is kept.
func TestOrderWithoutWhatTheOwnerBrings(t *testing.T) {
	jobs := jobFolders(t)
	inTemp(t)
	jobs["by-owner"].estimate(t, "by-owner")
	r := sillwright("order", "by-owner-estimate.xlsx", "--out", "orders")
	assert.Equal(t, exitOK, r.code, r.stderr)
	files, err := filepath.Glob("orders/*")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	ordered := ""
	for _, f := range files {
		assert.NotContains(t, f, "INCOMPLETE")
		assert.NotContains(t, f, "not-ordered")
		if strings.HasSuffix(f, ".csv") {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			ordered += string(data)
		}
	}
	assert.Contains(t, ordered, "flange-nail")
	for _, item := range []string{",sealant-10,", ",tape-9,", ",tape-6,", ",board-1x4,", ",drip-cap,", ",shim,"} {
		assert.NotContains(t, ordered, item, "by owner")
	}

	edit(t, "by-owner-estimate.xlsx", "by-owner-estimate.xlsx", map[string]any{"On hand!A13": "flange-nail", "On hand!G13": "owner"})
	r = sillwright("order", "by-owner-estimate.xlsx", "--out", "later")
	assert.Equal(t, exitOK, r.code, r.stderr)
	files, err = filepath.Glob("later/*.csv")
	require.NoError(t, err)
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		assert.NotContains(t, string(data), "flange-nail", f)
	}
	r = sillwright("estimate", "by-owner.xlsx", "--force", "--keep-edits")
	assert.Equal(t, exitOK, r.code, r.stderr)
	assert.Contains(t, r.stderr, "flange-nail: by owner, how much he has is not stated")
}
