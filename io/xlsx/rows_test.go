package xlsx

import (
	"encoding/xml"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/formula"
)

func TestNumbersAreStored(t *testing.T) {
	for _, c := range []struct {
		from string
		n    float64
		want string
	}{
		{"whole", 12, "12"},
		{"below nothing", -7, "-7"},
		{"nothing has no sign", math.Copysign(0, -1), "0"},
		{"decimals", 0.1, "0.1"},
		{"17 digits, where they are needed", 0.30000000000000004, "0.30000000000000004"},
		{"the last of the whole numbers in a row", 1<<53 - 1, "9007199254740991"},
		{"beyond them", 1 << 53, "9007199254740992"},
		{"beyond all integers", 1e20, "100000000000000000000"},
		{"the least integer, in the digits that tell it from the next number", math.MinInt64, "-9223372036854776000"},
	} {
		assert.Equal(t, c.want, string(appendNumber(nil, c.n)), c.from)
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 10_000 {
		n := math.Float64frombits(r.Uint64())
		if math.IsNaN(n) || math.IsInf(n, 0) {
			continue
		}
		back, err := strconv.ParseFloat(string(appendNumber(nil, n)), 64)
		require.NoError(t, err)
		require.Equal(t, n, back)
	}
}

// What an XML parser reads is the text as a cell shows it.
func TestTextsAreStored(t *testing.T) {
	for _, c := range []struct{ from, s, want string }{
		{"plain", "Sill strip 9 in", "Sill strip 9 in"},
		{"what XML escapes", `a < b & "c" > d`, `a < b & "c" > d`},
		{"what only looks escaped", "&amp;", "&amp;"},
		{"other scripts", "Ø 38 × 2½", "Ø 38 × 2½"},
		{"a control character becomes a space", "a\x01b", "a b"},
		{"a line end", "a\r\nb", "a\nb"},
		{"what looks like the code of a character (ECMA-376-1, 22.9.2.19)", "_x0041_ _x_", "_x005F_x0041_ _x_"},
		{"longer than a cell", strings.Repeat("a", formula.MaxText+1), strings.Repeat("a", formula.MaxText-1) + "…"},
		{"as long as a cell", strings.Repeat("a", formula.MaxText), strings.Repeat("a", formula.MaxText)},
	} {
		var got string
		require.NoError(t, xml.Unmarshal(append(appendText([]byte("<t>"), c.s), "</t>"...), &got), c.from)
		assert.Equal(t, c.want, got, c.from)
	}
}
