package pricelist

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// What a row says of its price beside the columns that are read: in its description, in
// notes, in headers. A price must not be used as that of a pack where any of it says
// otherwise.

// The forms in which a text says what a price is by. Of sure ones nothing but a price can
// be meant; others may speak of what is used of the material.
var (
	sureBy  = regexp.MustCompile(`(?i)(?:^|[,;:(–-]|\bprices?d?|\bcosts?|\bsold|\bis|\bare|\$ ?[\d.]*|\d\.\d\d) ?(?:in )?(?:per |by the |/ ?|by )([a-z0-9][a-z0-9. ]*)`)
	mayBeBy = regexp.MustCompile(`(?i)\bper ([a-z0-9][a-z0-9. ]*)`)
	uses    = regexp.MustCompile(`(?i)\b(?:covers?|coverage|yields?|uses?|approx|about)\b`)
)

// mayState reports whether a text holds a word that one of the forms asks for, as few
// descriptions do: most are not looked at any further.
func mayState(text string) bool {
	lower := strings.ToLower(text)
	return strings.Contains(lower, "per ") || strings.Contains(lower, "by") || strings.Contains(lower, "/")
}

// measureSaid returns the measure that a text says a price is by, as it is written, and
// whether it can mean nothing else; "" for none.
func measureSaid(text string) (by string, sure bool) {
	if !mayState(text) {
		return "", false
	}
	for _, form := range []*regexp.Regexp{sureBy, mayBeBy} {
		for _, m := range form.FindAllStringSubmatch(text, -1) {
			words := strings.Fields(m[1])
			for n := min(3, len(words)); n > 0; n-- {
				said := strings.Trim(strings.Join(words[:n], " "), ". ")
				word := unitWord(said)
				_, isPack := packWord(word)
				_, isMeasure := measureOf(word)
				if isPack {
					break
				}
				if isMeasure || slices.Contains(boardFeet, word) {
					return said, form == sureBy
				}
			}
		}
	}
	return "", false
}

// sameMeasure reports whether two units price by the same.
func sameMeasure(a, b string) bool {
	x, known := measureOf(unitWord(a))
	y, both := measureOf(unitWord(b))
	return unitWord(a) == unitWord(b) || known && both && x.Unit.Of == y.Unit.Of && x.Base().Cmp(y.Base()) == 0
}

// unitHead matches a header of units that says one of them: unit (LF), uom, LF.
var unitHead = regexp.MustCompile(`^([^(,\[]*)[(,\[] ?([^)\]]*)[)\]]?$`)

// foldedUnitHeaders are unitHeaders as headers are compared.
var foldedUnitHeaders = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	for _, h := range unitHeaders {
		out[sheet.FoldHeader(h)] = true
	}
	return out
})

// unitInHeader returns the unit that a header of units says, "" for none.
func unitInHeader(header string) string {
	m := unitHead.FindStringSubmatch(header)
	if m == nil || !foldedUnitHeaders()[sheet.FoldHeader(m[1])] {
		return ""
	}
	word := unitWord(m[2])
	_, isPack := packWord(word)
	if _, isMeasure := measureOf(word); isPack || isMeasure {
		return strings.TrimSpace(m[2])
	}
	return ""
}

// isOwn reports whether a list is that of an estimate, whose prices are those of packs by
// now, whatever the description of the supplier says.
func isOwn(t *sheet.Table) bool {
	return slices.ContainsFunc(t.Titles(), func(c sheet.Cell) bool { return c.Word() == sheet.LineNo })
}

// rest returns the cells of a row that say something of its price beside the columns that
// are read.
func (c *checker) rest() []sheet.Cell {
	units := c.row.Twice(unit) // said by check
	extra := slices.DeleteFunc(c.row.Extra(), func(x sheet.Cell) bool {
		return slices.ContainsFunc(units, func(u sheet.Cell) bool { return u.Place == x.Place })
	})
	return append([]sheet.Cell{c.row.Cell(description), c.row.Cell(code)}, extra...)
}

// soldAs returns the unit of a row: its own, else that of the header of units. It reports
// false where what else stands there says another, which is said.
func (c *checker) soldAs(text string) (string, bool) {
	headed := unitInHeader(c.list.table.Header[unit].Word())
	blank := slices.Contains(noUnit, strings.ToLower(text))
	const do = "write under unit what the price is for, and take the other out"
	switch {
	case headed != "" && blank:
		text, blank = headed, false
	case headed != "" && !sameMeasure(headed, text):
		c.say(unit, estimate.Error, fmt.Sprintf("unit %q does not go with the header %q", text, c.list.table.Header[unit].Word()), do)
		return text, false
	}
	if c.list.own {
		return text, true
	}
	by := text
	if blank {
		by = c.list.table.HeaderUnit(price)
	}
	rest := c.rest()
	extra := rest[2:]
	said := func(cell sheet.Cell, words string) bool {
		m, sure := measureSaid(words)
		if m == "" && slices.Contains(extra, cell) && isMeasure(words) {
			m, sure = words, unitLike.MatchString(cell.Place.Column)
		}
		switch {
		case m == "" || by != "" && sameMeasure(m, by):
			return true
		case !sure && uses.MatchString(words):
			return true
		}
		has := "there is no unit"
		if !blank {
			has = fmt.Sprintf("unit is %q", text)
		}
		what := fmt.Sprintf("%q says that the price is by %s, and %s", sheet.Excerpt(words), measure.Quote(m), has)
		if !sure {
			what = fmt.Sprintf("%q may say that the price is by %s, and %s: it is taken for that of the content", sheet.Excerpt(words), measure.Quote(m), has)
			c.problems = append(c.problems, cell.Problem(estimate.Warning, what, do))
			return true
		}
		c.problems = append(c.problems, cell.Problem(estimate.Error, what, do))
		return false
	}
	ok := true
	for _, cell := range rest {
		ok = said(cell, cell.Word()) && ok
	}
	for _, words := range c.list.stated() {
		ok = said(c.row.Cell(price), words) && ok
	}
	return text, ok
}

// unitLike matches headers of columns that may say what a price is for.
var unitLike = regexp.MustCompile(`(?i)\b(?:units?|uom|um|per|sold|priced?|prices|basis|measure)\b`)

// isMeasure reports whether a text is a measure and nothing else: LF, sq ft, not C.
func isMeasure(text string) bool {
	word := unitWord(text)
	if len(word) <= 1 || strings.Trim(word, digits) != word {
		return false
	}
	of, known := measureOf(word)
	return known && of.Unit.Of != measure.ByCount || slices.Contains(boardFeet, word)
}

// stated returns what a list says of all its rows: above its headers, in them, and in
// rows that name no item and have no price.
func (l *list) stated() []string {
	if l.says != nil {
		return l.says
	}
	l.says = []string{}
	for _, c := range l.table.Titles() {
		if key := l.keyOf(c); key != price && key != unit {
			l.says = append(l.says, c.Word())
		}
	}
	above := l.table.Above()
	for _, r := range l.table.Rows {
		if r.Cell(item).Blank() && r.Cell(price).Blank() {
			above = append(above, r.Filled()...)
		}
	}
	for _, c := range above {
		l.says = append(l.says, c.Word())
	}
	l.says = slices.DeleteFunc(l.says, func(words string) bool { by, sure := measureSaid(words); return by == "" || !sure })
	return l.says
}

// keyOf returns the column that a header is of, "" for none.
func (l *list) keyOf(title sheet.Cell) string {
	for key, c := range l.table.Header {
		if c.Place == title.Place {
			return key
		}
	}
	return ""
}

// besides are columns that change what a row offers and that are not read.
var besides = []struct {
	headers []string
	what    func(text string) (what, do string) // "" where the cell says nothing
	sev     estimate.Severity                   // of an error the row is left out; a warning says so
	unused  bool
}{
	{[]string{"discontinued", "disc'd", "obsolete", "out of stock", "oos", "unavailable", "not available", "inactive", "deleted", "do not use", "withdrawn"},
		func(text string) (string, string) {
			if isNo(text) {
				return "", ""
			}
			return "the row is not used", keepRow
		}, estimate.Warning, true},
	{[]string{"available", "availability", "in stock", "stock", "stock status", "stocked", "active", "status", "item status", "product status"},
		func(text string) (string, string) {
			if word := strings.ToLower(text); word == "no" || word == "n" || word == "false" || word == "0" || gone.MatchString(text) {
				return "the row is not used", keepRow
			}
			return "", ""
		}, estimate.Warning, true},
	{[]string{"discount", "disc", "discount percent", "disc percent", "trade discount", "less", "rebate", "markup", "mark up", "surcharge", "fuel surcharge",
		"tariff", "freight"}, beforeOrAfter(0), estimate.Error, false},
	{[]string{"multiplier", "mult", "price factor", "factor", "price multiplier"}, beforeOrAfter(1), estimate.Error, false},
	{[]string{"tax", "vat", "tax included", "vat included", "incl tax"},
		func(text string) (string, string) {
			if word := strings.ToLower(text); word == "yes" || word == "y" || strings.HasPrefix(word, "inc") {
				return "is the tax in the price?", "write the price before tax, and clear this"
			}
			return "", ""
		}, estimate.Error, false},
	{[]string{"min qty", "minimum qty", "min quantity", "minimum quantity", "min order", "minimum order", "min order qty", "minimum order qty", "moq", "multiple",
		"order multiple", "multiples of", "sold in multiples of", "pack qty", "pack quantity", "pieces per pack", "pcs per pack", "pieces per bundle",
		"pcs per bundle", "bundle qty", "case qty", "carton qty", "box qty", "inner pack", "std pack", "standard pack"},
		func(text string) (string, string) {
			if n, ok := numberIn(text); isNo(text) || ok && n <= 1 {
				return "", ""
			}
			return "no count of the estimate follows it", "see that as many are bought, or write the content of what is sold at once"
		}, estimate.Warning, false},
}

// beforeOrAfter asks back what changes a price by more than a number that changes nothing.
func beforeOrAfter(nothing float64) func(text string) (string, string) {
	return func(text string) (string, string) {
		if n, ok := numberIn(text); isNo(text) || ok && (n == nothing || n == 0) {
			return "", ""
		}
		return "is the price before it or after it?", "write the price that is paid under price, and clear this"
	}
}

// numberIn returns the number of an amount or a percentage.
func numberIn(text string) (float64, bool) {
	n, err := strconv.ParseFloat(strings.NewReplacer("$", "", "%", "", ",", "", " ", "").Replace(text), 64)
	return n, err == nil
}

const keepRow = "clear the cell if the row holds"

// gone matches words for what is not sold any more.
var gone = regexp.MustCompile(`(?i)\b(?:discontinued|disc'd|obsolete|out of stock|no longer (?:available|made|sold|stocked)|unavailable|not available|withdrawn|sold out)\b`)

func isNo(text string) bool {
	return slices.Contains([]string{"", "no", "n", "false", "0", "-", "--", "–", "—", "n/a", "none"}, strings.ToLower(text))
}

// besidesOf returns which of besides a header is of, by the folded header: every row
// asks it of every column.
var besidesOf = sync.OnceValue(func() map[string][]int {
	out := map[string][]int{}
	for k, b := range besides {
		for _, h := range b.headers {
			if folded := sheet.FoldHeader(h); !slices.Contains(out[folded], k) {
				out[folded] = append(out[folded], k)
			}
		}
	}
	return out
})

// beside takes up what stands beside the columns of a row that are read: it reports false
// where that leaves the row out.
func (c *checker) beside() bool {
	if c.list.own {
		return true
	}
	ok := true
	for _, cell := range c.rest() {
		word, header := cell.Word(), cell.Place.Column
		if c.isRemark(header) && gone.MatchString(word) {
			c.problems = append(c.problems, cell.Problem(estimate.Warning, fmt.Sprintf("%q: the row is not used", sheet.Excerpt(word)),
				"take the words out if the row holds"))
			ok = false
			continue
		}
		for _, k := range besidesOf()[sheet.FoldHeader(header)] {
			b := &besides[k]
			if what, do := b.what(word); what != "" {
				c.problems = append(c.problems, cell.Problem(b.sev, fmt.Sprintf("%s is %q: %s", header, sheet.Excerpt(word), what), do))
				ok = ok && !b.unused
			}
		}
	}
	return ok
}

// isRemark reports whether a column holds words about its row.
func (c *checker) isRemark(header string) bool {
	word := strings.ToLower(header)
	return header == c.list.table.Header[description].Word() || strings.HasPrefix(word, "note") ||
		strings.HasPrefix(word, "comment") || strings.HasPrefix(word, "remark")
}

// onePrice asks once an item and supplier about lengths of several sizes at one price: it
// may be that of one foot.
func onePrice(offers []pricing.Offer) (problems []estimate.Problem) {
	type family struct {
		supplier, item string
	}
	type lengths struct {
		short, long pricing.Offer
		rows        int
		same        bool
	}
	of := map[family]*lengths{}
	var order []family
	for _, o := range offers {
		c, err := measure.ParseContent(o.Content, "")
		if err != nil || c.Unit.Of != measure.ByLength || o.ByMeasure {
			continue
		}
		key := family{o.Supplier, o.Item}
		r := of[key]
		if r == nil {
			of[key] = &lengths{o, o, 1, true}
			order = append(order, key)
			continue
		}
		r.rows++
		r.same = r.same && o.Price == r.short.Price
		if o.Amount < r.short.Amount {
			r.short = o
		}
		if o.Amount > r.long.Amount {
			r.long = o
		}
	}
	for _, key := range order {
		r := of[key]
		if !r.same || 5*r.long.Amount < 6*r.short.Amount {
			continue
		}
		problems = append(problems, estimate.Problem{Place: r.short.Place, Severity: estimate.Warning,
			What: fmt.Sprintf("%s: %d lengths, from %q to %q, have one price, %s: is it that of one foot?",
				key.item, r.rows, r.short.Content, r.long.Content, r.short.Price),
			Do: "write LF under unit where it is"})
	}
	return problems
}
