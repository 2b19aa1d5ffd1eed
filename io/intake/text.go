package intake

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"sillwright/estimate/measure"
)

// pair is two sides as a text writes them, width first.
type pair struct{ w, h string }

// The forms of a side in a text, by which it is cut out; measure reads it. A
// foot mark with nothing behind it but a lost inch mark is no side.
const (
	feetSide  = `\d+ ?(?:'|ft\.?|feet) ?-? ?\d+(?:\.\d+)?(?:[ -]\d+/\d+)? ?(?:"|in\.?|inches)?|\d+ ?(?:'|ft\.?|feet)`
	dashSide  = `\d{1,2}[-/]\d{1,2}`
	mixedSide = `\d+[ -]\d+/\d+ ?(?:"|in\b\.?|inches)?`
	plainSide = `\d+(?:\.\d+)? ?(?:mm|cm|m\b|"|in\b\.?|inches|')?`
	oneSide   = `(?:` + feetSide + `|` + mixedSide + `|` + dashSide + `\b|` + plainSide + `)`
)

var (
	pairForm = regexp.MustCompile(`(` + oneSide + `) ?([wh]\b)? ?(?:x|by) ?(` + oneSide + `) ?([wh]\b)?( ?x ?\d+)?`)
	sideForm = regexp.MustCompile(`^(` + oneSide + `) ?(?:[wh]|wide|high)$`)
	callForm = regexp.MustCompile(`^(\d{4,6})$|^(\d{4,6}) [a-z][a-z ./-]*$|^[a-z]+[ -](\d{4,6})$`)
	dashForm = regexp.MustCompile(`^` + dashSide + `$`)
	gridForm = regexp.MustCompile(`\b(?:sdl|gbg|tdl|lts|lites?|lights?|grids?|grilles?|muntins?|panels?)\b`)
	digits   = regexp.MustCompile(`\d`)
	// commaForm is a comma of decimals or thousands, or of a list of numbers.
	commaForm = regexp.MustCompile(`\d,\d`)
	bareForm  = regexp.MustCompile(`^\d+(?:\.\d+)?(?:[ -]\d+/\d+)?$`)
	unitTail  = regexp.MustCompile(`^[\d./ -]*\d ?(mm|cm|m|"|in\.?|inches|'|ft\.?|feet)$`)
)

// keyboard writes what word processors and drawing programs put for the marks
// of a keyboard, as far as it matters for cutting a text.
var keyboard = strings.NewReplacer("×", "x", "✕", "x", "⨯", "x", "*", "x", "–", "-", "—", "-", "‐", "-", "‑", "-", "−", "-",
	"′", "'", "’", "'", "‘", "'", "″", `"`, "”", `"`, "“", `"`, "½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞",
	" 7/8", "⁄", "/", "\u00a0", " ")

func plain(text string) string {
	s := strings.ToLower(strings.Join(strings.Fields(keyboard.Replace(measure.PlainCallSize(text))), " "))
	return strings.ReplaceAll(s, "''", `"`)
}

var errNoSize = errors.New("no size")

// cutPair finds the two sides in a text. A strict text is a cell of sizes: it
// holds one pair and no other digits. In any other text the pair may stand
// among other parts, between colons, commas and underscores; pairs that differ
// are an error.
func cutPair(text string, strict, heightFirst bool) (pair, error) {
	t := plain(text)
	if commaForm.MatchString(t) {
		return pair{}, errors.New("has a comma among digits (write a decimal point, and no comma for thousands)")
	}
	var found []pair
	for _, part := range strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune(":;,_|", r) }) {
		p, ok, err := partPair(part, heightFirst)
		switch {
		case err != nil && strict:
			return pair{}, err
		case ok && err == nil:
			found = append(found, p)
		case strict && digits.MatchString(part) && !gridForm.MatchString(part):
			return pair{}, misread(part)
		}
	}
	for _, p := range found {
		if p != found[0] {
			return pair{}, fmt.Errorf("holds two sizes, %s x %s and %s x %s (write one)", found[0].w, found[0].h, p.w, p.h)
		}
	}
	if len(found) == 0 {
		return pair{}, errNoSize
	}
	return found[0], nil
}

// run is digits enough for a call size.
var run = regexp.MustCompile(`\d{4}`)

// misread says why a part with digits is no size.
func misread(part string) error {
	if _, _, err := measure.ParseCallSize(part); err != nil && run.MatchString(part) {
		return err
	}
	if strings.Contains(part, "x") || strings.Contains(part, " by ") {
		return errors.New("is not a size (write width x height, such as 3'-0\" x 5'-0\")")
	}
	return errors.New("is one number, not a width and a height (write both, such as 36 x 60 in)")
}

// partPair finds the one pair in a part of a text. Three sizes are those of a
// thing and not of an opening.
func partPair(part string, heightFirst bool) (pair, bool, error) {
	all := pairForm.FindAllStringSubmatchIndex(part, -1)
	if len(all) == 0 {
		return pair{}, false, nil
	}
	m := pairForm.FindStringSubmatch(part)
	rest := part[:all[0][0]] + " " + part[all[0][1]:]
	switch {
	case m[5] != "":
		return pair{}, false, errors.New("holds three sizes (write width x height)")
	case gridForm.MatchString(rest):
		return pair{}, false, errors.New("counts lights or panels; that is no size (write width x height)")
	case digits.MatchString(rest):
		return pair{}, false, errors.New("holds more numbers than a width and a height (write one size in a cell)")
	}
	p := pair{strings.TrimSpace(m[1]), strings.TrimSpace(m[3])}
	switch {
	case m[2] == "" && m[4] == "":
		if heightFirst {
			p.w, p.h = p.h, p.w
		}
	case m[2] == m[4]:
		return pair{}, false, fmt.Errorf("has two numbers marked %s (write width x height)", m[2])
	case m[2] == "h" || m[4] == "w":
		p.w, p.h = p.h, p.w
	}
	return p.shareUnit(), true, nil
}

// shareUnit gives a side without a unit that of the other: 0762 x 2032mm.
func (p pair) shareUnit() pair {
	tail := func(s string) string {
		if m := unitTail.FindStringSubmatch(s); m != nil {
			return m[1]
		}
		return ""
	}
	switch {
	case bareForm.MatchString(p.w):
		p.w += tail(p.h)
	case bareForm.MatchString(p.h):
		p.h += tail(p.w)
	}
	return p
}

// called is a call size: a run of digits, or two sides about a dash or slash.
type called struct {
	run  string
	pair pair
}

// callSize returns the call size that a text is, words beside it taken off:
// 3050, 3050 SH egress, 3-0 x 6-8. A count before it is not.
func callSize(text string) (called, bool) {
	t := plain(text)
	if m := callForm.FindStringSubmatch(t); m != nil {
		return called{run: m[1] + m[2] + m[3]}, true
	}
	p, ok, err := partPair(t, false)
	if ok && err == nil && dashForm.MatchString(p.w) && dashForm.MatchString(p.h) {
		return called{pair: p}, true
	}
	return called{}, false
}

// ordered returns the call size width first. Under a header that says height
// first a run of digits may be of either order.
func (c called) ordered(heightFirst bool) (string, error) {
	switch {
	case c.run != "" && heightFirst:
		return "", errors.New("is a call size, which is width first, under a header that says height first (write width x height)")
	case c.run != "":
		return c.run, nil
	case heightFirst:
		return c.pair.h + " x " + c.pair.w, nil
	}
	return c.pair.w + " x " + c.pair.h, nil
}

// minCall is the side from which a run of digits is believed to be feet and
// inches: 1012 may be a metric code, height first, of a 1200 x 1000 mm unit.
const minCall = 24 * measure.Inch

// readCall reads a call size. In a list of metric sizes a run of digits may
// mean anything.
func readCall(text string, metric bool) (w, h measure.Length, err error) {
	w, h, err = measure.ParseCallSize(text)
	isRun := !strings.Contains(text, "x")
	switch {
	case err != nil:
		return 0, 0, err
	case isRun && metric:
		return 0, 0, errors.New("in a list of metric sizes may be a code of either order (write width x height)")
	case isRun && w < minCall && h < minCall:
		return 0, 0, errors.New("may be feet and inches or a metric code, height first (write width x height)")
	}
	return w, h, nil
}

// number returns the value of a text that is a number without a unit.
func number(text string) (float64, bool) {
	t := plain(text)
	if !bareForm.MatchString(t) {
		return 0, false
	}
	l, err := measure.ParseLength(t, measure.Inches)
	if err != nil { // too long for inches, or no fraction of a tape
		var v float64
		_, err := fmt.Sscanf(t, "%g", &v)
		return v, err == nil && !strings.Contains(t, "/")
	}
	return l.Inches(), true
}
