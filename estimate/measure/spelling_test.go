package measure

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSpelling: what other keyboards and programs write for a fraction, a sign of times, a
// dash or a quote. Source: the Unicode Standard, names of the characters (Number Forms,
// General Punctuation, Mathematical Operators)
func TestSpelling(t *testing.T) {
	for text, want := range map[string]string{
		"3½": "3 1/2", "3¼": "3 1/4", "3¾": "3 3/4", "3⅛": "3 1/8", "3⅜": "3 3/8", "3⅝": "3 5/8", "3⅞": "3 7/8", "3⅓": "3 1/3", "3⅔": "3 2/3", "3⅙": "3 1/6",
		"3⅚": "3 5/6", "3⅕": "3 1/5", "3⅖": "3 2/5", "3⅗": "3 3/5", "3⅘": "3 4/5", "1⁄2": "1/2", "1∕2": "1/2",
		"3×4": "3x4", "3✕4": "3x4", "3⨯4": "3x4",
		"3‐4": "3-4", "3‑4": "3-4", "3‒4": "3-4", "3–4": "3-4", "3—4": "3-4", "3―4": "3-4", "3−4": "3-4", "3﹣4": "3-4",
		"3′": "3'", "3’": "3'", "3‘": "3'", "3‛": "3'", "3ʹ": "3'", "3ʼ": "3'", "3´": "3'", "3`": "3'",
		"3″": `3"`, "3”": `3"`, "3“": `3"`, "3‟": `3"`, "3„": `3"`, "3ʺ": `3"`, "3〃": `3"`, "3''": `3"`,
		"３６": "36", " 3  4 ": "3 4", "3\u200b4": "34", "3 FT": "3 ft",
	} {
		assert.Equal(t, want, plain(text), text)
	}
}

// TestSumsOfMoney: amounts add up, and beyond what an amount holds stay at its limit.
func TestSumsOfMoney(t *testing.T) {
	assert.Equal(t, Money(60), Money(10).Plus(20, 30))
	assert.Equal(t, Money(-10), Money(10).Plus(-50, 30))
	assert.Equal(t, Money(7), Money(7).Plus())
	assert.Equal(t, Money(math.MaxInt64), Money(math.MaxInt64-1).Plus(2))
	assert.Equal(t, Money(math.MinInt64), Money(math.MinInt64+1).Plus(-2))
}

// TestLongValuesAreQuotedInPart: of more than 60 characters the first 60.
func TestLongValuesAreQuotedInPart(t *testing.T) {
	assert.Equal(t, `"`+strings.Repeat("x", 60)+`"`, Quote(strings.Repeat("x", 60)))
	assert.Equal(t, `"`+strings.Repeat("x", 60)+`…"`, Quote(strings.Repeat("x", 61)))
}
