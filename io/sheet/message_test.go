package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestExcerpt(t *testing.T) {
	sixty := strings.Repeat("é", 60)
	for _, c := range []struct{ why, text, want string }{
		{"a word", "W1", "W1"},
		{"spaces are folded", " W \n 1 ", "W 1"},
		{"as long as it may be", sixty, sixty},
		{"characters are counted, not bytes", sixty + "é", sixty + "…"},
		{"nothing", "", ""},
	} {
		assert.Equal(t, c.want, Excerpt(c.text), c.why)
	}
	assert.Equal(t, `"Mark", "Kind"`, Quoted([]string{"Mark", "Kind"}))
	assert.Equal(t, `"`+strings.Repeat("a", 40)+`"...`, beginning(strings.Repeat("a", 41)))
	assert.Equal(t, `"a b"`, beginning("a  b"))
}

func TestSuggest(t *testing.T) {
	known := []string{"stud depth", "sheathing"}
	assert.Equal(t, `did you mean "sheathing"? write a key`, Suggest("sheating", known, "write a key"))
	assert.Equal(t, "write a key", Suggest("paint", known, "write a key"))
}
