package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// section is one of the up to three parts of a number format, each for some
// numbers; what stands in it is read so that a cell can be seen as a person
// sees it.
type section struct {
	tokens  []token
	op      string  // of a condition, "" without
	limit   float64 // that a condition compares with
	date    bool
	percent bool
	unit    unit // in quotes or escapes behind the number, nothing else beside it
}

// token is a piece of a section.
type token struct {
	kind tokenKind
	text string // of a literal; of a place 0, # or ?
}

type tokenKind uint8

const (
	literal tokenKind = iota
	place
	point
	comma
	percentSign
	exponent
	slash
	general
)

// readFormat reads the sections of a format code.
//
// Source: ECMA-376 part 1, 18.8.30 numFmt and 18.8.31 numFmts
func readFormat(code string) []section {
	var sections []section
	for len(sections) < 3 {
		var s section
		s, code = readSection(code)
		sections = append(sections, s)
		if code == "" {
			break
		}
		code = code[1:] // the semicolon
	}
	return sections
}

// readSection reads a section up to its semicolon and returns the rest: outside
// quotes, brackets and escapes, y, m, d or h makes it a date unless it also has
// digit places.
func readSection(code string) (section, string) {
	var s section
	var bare strings.Builder // letters outside quotes
	digits, elapsed := false, false
	add := func(kind tokenKind, text string) { s.tokens = append(s.tokens, token{kind, text}) }
	i := 0
	for ; i < len(code) && code[i] != ';'; i++ {
		switch c := code[i]; {
		case c == '"':
			end := strings.IndexByte(code[i+1:], '"')
			if end < 0 {
				end = len(code) - i - 1
			}
			if text := code[i+1 : i+1+end]; !isMarkSign(text) {
				add(literal, text)
			}
			i += end + 1
		case c == '\\':
			if i++; i < len(code) {
				n := runeAt(code, i)
				add(literal, code[i:i+n])
				i += n - 1
			}
		case c == '_', c == '*': // the next character is only a width or a filling
			if i++; i < len(code) {
				i += runeAt(code, i) - 1
			}
		case c == '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				end = len(code) - i
			}
			elapsed = s.bracket(code[i+1:i+end]) || elapsed
			i += end
		case len(code)-i >= len("General") && strings.EqualFold(code[i:i+len("General")], "General"):
			add(general, "")
			digits = true
			i += len("General") - 1
		case c == '0', c == '#', c == '?':
			digits = digits || c != '0' || !strings.Contains(bare.String(), "s.")
			add(place, string(c))
		case c == '.':
			bare.WriteByte(c)
			add(point, ".")
		case c == ',':
			add(comma, ",")
		case c == '%':
			s.percent = true
			add(percentSign, "%")
		case c == '/':
			add(slash, "/")
		case (c == 'E' || c == 'e') && i+1 < len(code) && (code[i+1] == '+' || code[i+1] == '-'):
			add(exponent, code[i:i+2])
			i++
		case c == '@':
			add(general, "")
		default:
			n := runeAt(code, i)
			bare.WriteString(strings.ToLower(code[i : i+n]))
			add(literal, code[i:i+n])
			i += n - 1
		}
	}
	s.date = elapsed || !digits && strings.ContainsAny(bare.String(), "ymdhs")
	s.unit = s.unitBehind()
	return s, code[min(i, len(code)):]
}

// isMarkSign reports whether a text is the sign that our marked copies put before what
// a cell shows; it is no part of the value.
func isMarkSign(text string) bool { return text == "! " || text == "!! " }

// runeAt returns how many bytes the character at an index has.
func runeAt(s string, i int) int {
	for n := range s[i:] {
		if n > 0 {
			return n
		}
	}
	return len(s) - i
}

// bracket takes up what stands in brackets, and reports whether it is elapsed time.
func (s *section) bracket(inner string) bool {
	switch {
	case strings.HasPrefix(inner, "$"):
		sign, _, _ := strings.Cut(inner[1:], "-")
		s.tokens = append(s.tokens, token{literal, sign})
	case strings.HasPrefix(inner, "<"), strings.HasPrefix(inner, ">"), strings.HasPrefix(inner, "="):
		number := strings.TrimLeft(inner, "<>=")
		if limit, ok := parseNumber(number); ok {
			s.op, s.limit = inner[:len(inner)-len(number)], limit
		}
	case inner != "" && strings.Trim(strings.ToLower(inner), "hms") == "":
		return true
	}
	return false
}

// sectionFor returns the section that shows a number, and the number without the
// minus sign where the section is the one for negative numbers.
func sectionFor(sections []section, v float64) (section, float64) {
	for i, s := range sections[:len(sections)-1] {
		if s.holds(v, i, len(sections)) {
			if i == 1 && s.op == "" {
				v = math.Abs(v)
			}
			return s, v
		}
	}
	last := len(sections) - 1
	if last == 1 && sections[1].op == "" && sections[0].op == "" {
		v = math.Abs(v)
	}
	return sections[last], v
}

// holds reports whether a section is for a number: by its condition, else the first
// is for those above 0 (of two sections, 0 too), the second for those below.
func (s section) holds(v float64, i, of int) bool {
	switch s.op {
	case "<":
		return v < s.limit
	case "<=":
		return v <= s.limit
	case ">":
		return v > s.limit
	case ">=":
		return v >= s.limit
	case "=":
		return v == s.limit
	case "<>":
		return v != s.limit
	}
	return i == 0 && (v > 0 || v == 0 && of == 2) || i == 1 && v < 0
}

// body returns where the number stands among the tokens: from its first place to
// behind its last, a denominator or a percent sign; from = to without a place.
func (s section) body() (from, to int) {
	isNumber := func(t token) bool { return t.kind == place || t.kind == general }
	from = slices.IndexFunc(s.tokens, isNumber)
	if from < 0 {
		return 0, 0
	}
	below := false
	for i, t := range s.tokens {
		below = below || t.kind == slash && i > from
		if isNumber(t) || i > from && t.kind == percentSign || below && isDigit(t) {
			to = i + 1
		}
	}
	if from > 0 && s.tokens[from-1].kind == point { // .00
		from--
	}
	return from, to
}

// isDigit reports whether a literal is a digit of a denominator.
func isDigit(t token) bool {
	return t.kind == literal && len(t.text) == 1 && t.text >= "1" && t.text <= "9"
}

// literals joins what stands between two tokens beside the number.
func literals(tokens []token) string {
	var b strings.Builder
	for _, t := range tokens {
		if t.kind != comma && t.kind != point {
			b.WriteString(t.text)
		}
	}
	return foldSpace(b.String())
}

// beside returns what stands before the number, among its digits and behind it.
func (s section) beside() (before, among, behind string) {
	from, to := s.body()
	var inside []token
	for _, t := range s.tokens[from:to] {
		if t.kind == literal && !(s.fraction() && (foldSpace(t.text) == "" || isDigit(t))) {
			inside = append(inside, t)
		}
	}
	return literals(s.tokens[:from]), literals(inside), literals(s.tokens[to:])
}

func (s section) fraction() bool {
	return slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == slash })
}

func (s section) unitBehind() unit {
	if _, to := s.body(); to == 0 {
		return noUnit
	}
	before, among, behind := s.beside()
	if before != "" || among != "" {
		return noUnit
	}
	return unitOf(behind)
}

// accounting is what may stand beside a number and says no more than its sign.
const accounting = "()+ "

// currency returns the sign or the code that stands before or behind the number.
func (s section) currency() string {
	before, among, behind := s.beside()
	if _, to := s.body(); to == 0 || among != "" {
		return ""
	}
	if sign := strings.Trim(before, accounting+"-") + strings.Trim(behind, accounting); isCurrency(sign) {
		return sign
	}
	return ""
}

// scaled reports whether commas behind the last place divide the number by
// thousands.
func (s section) scaled() bool {
	last := -1
	for i, t := range s.tokens {
		if t.kind == place {
			last = i
		}
	}
	for i, t := range s.tokens {
		if t.kind == comma && i > last || t.kind == comma && i+1 < len(s.tokens) && s.tokens[i+1].kind == point {
			return true
		}
	}
	return false
}

// plain reports whether nothing beside the number is more than a unit, a currency, a
// bracket or the sign that a number below 0 has.
func (s section) plain(negative bool) bool {
	before, among, behind := s.beside()
	signs := accounting
	if negative {
		signs += "-"
	}
	if sign := s.currency(); sign != "" {
		before, behind = strings.Replace(before, sign, "", 1), strings.Replace(behind, sign, "", 1)
	}
	return among == "" && (s.unit != noUnit || strings.Trim(before+behind, signs) == "")
}

// widest is how many leading zeros a number is shown with at most.
const widest = 40

// show returns a number as the section shows it; "" when it shows nothing.
func (s section) show(v float64) string {
	from, to := s.body()
	if from == to {
		return foldSpace(literals(s.tokens))
	}
	number := s.number(s.tokens[from:to], math.Abs(v))
	sign := ""
	if v < 0 && strings.ContainsAny(number, "123456789") {
		sign = "-"
	}
	return foldSpace(sign + joined(s.tokens[:from]) + number + joined(s.tokens[to:]))
}

func joined(tokens []token) string {
	var b strings.Builder
	for _, t := range tokens {
		if t.kind != comma {
			b.WriteString(t.text)
		}
	}
	return b.String()
}

func (s section) number(tokens []token, v float64) string {
	if s.percent {
		v *= 100
	}
	has := func(k tokenKind) int { return slices.IndexFunc(tokens, func(t token) bool { return t.kind == k }) }
	switch {
	case has(general) >= 0:
		return shortest(v)
	case has(exponent) >= 0:
		return inPowers(tokens, has(exponent), v)
	case has(slash) >= 0:
		return inFractions(tokens, has(slash), v)
	}
	return inPlaces(tokens, v)
}

// rounded returns a number with so many decimals, halves away from zero.
func rounded(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	if near := math.Round(v*scale) / scale; v*scale < 1<<53 {
		v = near
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// inPlaces writes a number into places and the literals between them.
func inPlaces(tokens []token, v float64) string {
	at := slices.IndexFunc(tokens, func(t token) bool { return t.kind == point })
	if at < 0 {
		at = len(tokens)
	}
	decimals := 0
	for _, t := range tokens[at:] {
		if t.kind == place {
			decimals++
		}
	}
	whole, part, _ := strings.Cut(rounded(v, min(decimals, 15)), ".")
	if whole == "0" {
		whole = ""
	}
	group := slices.ContainsFunc(tokens[:at], func(t token) bool { return t.kind == comma })
	return wholePlaces(tokens[:at], whole, group) + decimalPlaces(tokens[at:], part)
}

// wholePlaces fills the places before the point from the right; what is left of the
// digits stands before the first.
func wholePlaces(tokens []token, digits string, group bool) string {
	out, n := "", 0
	put := func(d string) {
		if group && n > 0 && n%3 == 0 {
			out = "," + out
		}
		out, n = d+out, n+1
	}
	first := slices.IndexFunc(tokens, func(t token) bool { return t.kind == place })
	for i := len(tokens) - 1; i >= 0; i-- {
		t := tokens[i]
		switch {
		case t.kind == place && digits != "":
			put(digits[len(digits)-1:])
			digits = digits[:len(digits)-1]
		case t.kind == place && t.text == "0" && n < widest:
			put("0")
		case t.kind == literal || t.kind == percentSign:
			out = t.text + out
		}
		for i == first && digits != "" {
			put(digits[len(digits)-1:])
			digits = digits[:len(digits)-1]
		}
	}
	if first < 0 && digits != "" {
		out = digits + out
	}
	return out
}

// decimalPlaces fills the places behind the point; a # takes no zero at the end.
func decimalPlaces(tokens []token, digits string) string {
	keep := 0
	var all []byte
	for _, t := range tokens {
		if t.kind == place && len(all) < len(digits) {
			all = append(all, digits[len(all)])
			if t.text != "#" || all[len(all)-1] != '0' {
				keep = len(all)
			}
		}
	}
	out, n := "", 0
	for _, t := range tokens {
		switch {
		case t.kind == place && n < keep:
			out, n = out+string(all[n]), n+1
		case t.kind == point || t.kind == literal || t.kind == percentSign:
			out += t.text
		}
	}
	return out
}

// inPowers writes a number with an exponent of ten.
func inPowers(tokens []token, at int, v float64) string {
	decimals := 0
	if p := slices.IndexFunc(tokens[:at], func(t token) bool { return t.kind == point }); p >= 0 {
		decimals = at - p - 1
	}
	return strings.ToUpper(strconv.FormatFloat(v, 'e', min(decimals, 15), 64))
}

// inFractions writes a number as a whole and a fraction: with the denominator that
// is written, else the nearest with so many digits as it has places.
func inFractions(tokens []token, at int, v float64) string {
	fixed, digits := "", 0
	for _, t := range tokens[at+1:] {
		switch {
		case isDigit(t), t.kind == place && fixed != "":
			fixed += t.text
		case t.kind == place:
			digits++
		}
	}
	wholeToo := slices.ContainsFunc(tokens[:at], func(t token) bool { return t.kind == literal && foldSpace(t.text) == "" })
	num, den := 0.0, 1.0
	if d, err := strconv.ParseFloat(fixed, 64); err == nil && d > 0 && d <= 1000 {
		num, den = math.Round(v*d), d
	} else {
		num, den = nearestFraction(v, min(int(math.Pow10(min(digits, 3)))-1, 999))
	}
	if !wholeToo || v > 1<<40 {
		return shortest(num) + "/" + shortest(den)
	}
	whole := math.Floor(num / den)
	switch num -= whole * den; {
	case num == 0:
		return shortest(whole)
	case whole == 0:
		return shortest(num) + "/" + shortest(den)
	}
	return shortest(whole) + " " + shortest(num) + "/" + shortest(den)
}

// nearestFraction returns the fraction nearest to a number whose denominator is not
// above most.
func nearestFraction(v float64, most int) (num, den float64) {
	best := math.Inf(1)
	for d := 1; d <= max(most, 1); d++ {
		n := math.Round(v * float64(d))
		if off := math.Abs(v - n/float64(d)); off < best-1e-12 {
			best, num, den = off, n, float64(d)
		}
	}
	return num, den
}

// showsDash reports whether a text is what accounts write for nothing.
func showsDash(shown string) bool {
	return strings.ContainsAny(shown, "-–—") && strings.Trim(shown, "-–— $€£¥") == ""
}

// leadingZero reports whether a number is shown with zeros before its digits.
func leadingZero(shown string) bool {
	return len(shown) > 1 && shown[0] == '0' && shown[1] >= '0' && shown[1] <= '9'
}
