package intake

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// size is a size as a list writes it: two cells, or one that holds both sides.
type size struct {
	basis       Basis
	w, h        sheet.Cell
	both        sheet.Cell
	unit        measure.Unit // by the header
	heightFirst bool
	strict      bool   // both is a cell of sizes; else a text in which one may stand
	from        string // header
}

// proper reports whether the cells are there for a size, and not a text in which
// one may stand.
func (s size) proper() bool { return s.strict || s.both.Blank() }

// side is one side as written: a number or a text.
type side struct {
	cell sheet.Cell
	text string // "" for a number
}

// sides returns the two sides as written, or the call size that stands for
// both.
func (s size) sides() (w, h side, call string, err error) {
	if s.both.Blank() {
		return sideOf(s.w), sideOf(s.h), "", nil
	}
	if s.strict {
		if c, ok := callSize(s.both.Word()); ok {
			call, err = c.ordered(s.heightFirst)
			return side{}, side{}, call, err
		}
	}
	p, err := cutPair(s.both.Word(), s.strict, s.heightFirst)
	return side{s.both, p.w}, side{s.both, p.h}, "", err
}

func sideOf(c sheet.Cell) side {
	if c.Kind != sheet.Text {
		return side{cell: c}
	}
	if m := sideForm.FindStringSubmatch(plain(c.Word())); m != nil {
		return side{c, m[1]}
	}
	return side{c, c.Word()}
}

// bare returns the size as two numbers, if it is two numbers without a unit.
func (s size) bare() (bare, bool) {
	w, h, call, err := s.sides()
	if err != nil || call != "" {
		return bare{}, false
	}
	a, okA := w.number()
	b, okB := h.number()
	return bare{w: a, h: b}, okA && okB && a > 0 && b > 0
}

func (s side) number() (float64, bool) {
	switch {
	case s.text != "":
		return number(s.text)
	case s.cell.Kind == sheet.Number && s.cell.FormatUnit() == "" && !s.cell.Percent:
		return s.cell.Number, true
	}
	return 0, false
}

// length reads a side; unit is that of a number without one.
func (s side) length(unit measure.Unit) (measure.Length, string, error) {
	if s.text != "" {
		l, err := measure.ParseLength(s.text, unit)
		return l, "", err
	}
	switch shown, _ := measure.ParseUnit(s.cell.FormatUnit()); {
	case s.cell.Kind == sheet.Date && s.cell.TypedAsDate() != "":
		return 0, "", fmt.Errorf("is a date; %s was probably typed (format the cell as text and type the size with its unit)", s.cell.TypedAsDate())
	case s.cell.Kind != sheet.Number || s.cell.Percent:
		return 0, "", errors.New("is not a size (type it as a number or as text)")
	case shown != measure.NoUnit:
		unit = shown
	}
	return measure.FromNumber(s.cell.Number, unit)
}

// reading is a size that was read.
type reading struct {
	estimate.Size
	call string // the call size as it is to be written, "" for a size proper
	from size
	unit measure.Unit // of its numbers; NoUnit for feet and inches
	bare bool         // they have no unit of their own
}

// The limits of a side that is taken for an opening's.
const (
	smallestSide = 4 * measure.Inch
	largestSide  = 40 * measure.Foot
)

// sideError is what is wrong with the cell of one side.
type sideError struct {
	error
	cell sheet.Cell
}

func (e sideError) Unwrap() error { return e.error }

// errUnit says that the unit of a list is not known, which was said already.
var errUnit = errors.New("no unit")

// errBlank says that a side is blank where the other is given.
var errBlank = errors.New("blank")

// readSize reads a size of an entry, with notes on its numbers.
func (l *list) readSize(e *entry, s size) (reading, []string, error) {
	w, h, call, err := s.sides()
	if err != nil {
		return reading{}, nil, err
	}
	r := reading{from: s, call: call}
	if call != "" {
		r.W, r.H, err = readCall(call, l.metric())
		return r, nil, err
	}
	unit := l.loneUnit(s)
	b, isBare := s.bare()
	if r.bare = isBare; isBare {
		b.door = e.isDoor()
		if unit, err = l.unitOf(s, b); err != nil {
			return reading{}, nil, err
		}
		r.unit = unit
	} else if m := unitTail.FindStringSubmatch(plain(w.text)); m != nil {
		r.unit, _ = measure.ParseUnit(m[1])
	}
	var noteW, noteH string
	if r.W, noteW, err = w.read("width", unit); err != nil {
		return reading{}, nil, err
	}
	if r.H, noteH, err = h.read("height", unit); err != nil {
		return reading{}, nil, err
	}
	switch {
	case max(r.W, r.H) < shortest:
		return reading{}, nil, fmt.Errorf("gives %s, which is no opening's size (check the numbers and their unit)", r)
	case e.isDoor() && !e.doubt && r.H < lowestDoor:
		return reading{}, nil, fmt.Errorf("gives %s, which is too low for a door (check the numbers, their order and their unit)", r)
	}
	return r, slices.DeleteFunc([]string{noteW, noteH}, func(n string) bool { return n == "" }), nil
}

// read reads a side that must be an opening's.
func (s side) read(name string, unit measure.Unit) (measure.Length, string, error) {
	l, note, err := s.length(unit)
	switch {
	case isBlank(s.cell):
		err = errBlank
	case err != nil:
	case l == 0:
		err = errors.New("is 0 (write the size, or leave it blank)")
	case l < smallestSide || l > largestSide:
		err = fmt.Errorf("gives a %s of %s in, which is no opening's (check the number and its unit)", name, measure.FormatInches(l, 16))
	}
	if err != nil {
		return 0, "", sideError{err, s.cell}
	}
	return l, note, nil
}

// unitOf returns the unit of a size in bare numbers. One among other words has
// the unit of the list only if that makes it an opening.
func (l *list) unitOf(s size, b bare) (measure.Unit, error) {
	if s.proper() {
		u := l.unit[s.unit]
		switch {
		case u == measure.NoUnit:
			return u, errUnit
		case s.strict && l.declaredFor(s) == measure.NoUnit && gridLike(b):
			return u, errors.New("may be feet or a count of lights (write the unit)")
		}
		return u, nil
	}
	one := []bare{b}
	for _, u := range []measure.Unit{l.unit[measure.NoUnit], l.options.Units, l.declared, likely(one)} {
		if u != measure.NoUnit && believed(one, u) {
			return u, nil
		}
	}
	return measure.NoUnit, errNoSize
}

// loneUnit is the unit of a bare number whose other side has a unit.
func (l *list) loneUnit(s size) measure.Unit {
	if u := l.unit[s.unit]; u != measure.NoUnit {
		return u
	}
	return l.declaredFor(s)
}

func (l *list) declaredFor(s size) measure.Unit {
	for _, u := range []measure.Unit{s.unit, l.options.Units, l.declared} {
		if u != measure.NoUnit {
			return u
		}
	}
	return measure.NoUnit
}

// gridLike reports whether two numbers may count lights: 3x5.
func gridLike(b bare) bool {
	whole := func(v float64) bool { return v == float64(int(v)) && v <= 8 }
	return whole(b.w) && whole(b.h)
}

// metric reports whether the sizes of the list are known to be metric.
func (l *list) metric() bool {
	if l.declared >= measure.Millimeters || l.options.Units >= measure.Millimeters {
		return true
	}
	for _, u := range l.unit {
		if u >= measure.Millimeters {
			return true
		}
	}
	return false
}

// size reads the sizes of an entry: of each basis the first. A cell of sizes
// that cannot be read costs the entry; a text in which a size might stand does
// not. What can be read of what is left out is for the counts only.
func (l *list) size(e *entry) {
	e.read = map[Basis]reading{}
	quiet := e.reason != "" || e.bad
	for _, s := range e.sizes {
		if !s.proper() && e.stated() {
			continue // a text among other words is no match for a size that says what it is of
		}
		r, notes, err := l.readSize(e, s)
		switch {
		case err == nil:
			l.keep(e, r, quiet)
		case errors.Is(err, errUnit):
			e.bad = e.bad || e.reason == ""
		case s.proper() && !quiet && !e.bad:
			l.refuseSize(e, s.cell(), err)
		}
		for _, n := range notes {
			if !quiet {
				l.say(s.cell().Place, estimate.Note, n, "")
			}
		}
	}
	if e.own != nil {
		l.overrule(e)
	}
	switch {
	case e.reason != "" || e.bad || len(e.read) > 0:
	case len(l.repeated) > 0:
		e.bad = true // said at the header
	default:
		what := e.name() + " has no size"
		if e.useless != "" {
			what = fmt.Sprintf("%s has no size but %q, which is neither the frame nor the rough opening", e.name(), sheet.Excerpt(e.useless))
		}
		l.refuse(e, e.place, what, "fill in its width and height")
	}
	if e.reason == "" && !e.bad {
		l.settle(e)
	}
}

// stated reports whether a size was read of which it is said what it is of.
func (e *entry) stated() bool {
	for b := range e.read {
		if b != Unstated {
			return true
		}
	}
	return false
}

// cell returns the first filled cell of a size.
func (s size) cell() sheet.Cell {
	for _, c := range []sheet.Cell{s.both, s.w, s.h} {
		if !c.Blank() {
			return c
		}
	}
	return s.both
}

// refuseSize refuses an entry for a size that cannot be read.
func (l *list) refuseSize(e *entry, c sheet.Cell, err error) {
	var form *measure.FormError
	var one sideError
	if errors.As(err, &one) {
		c = one.cell
	}
	header := c.Place.Column
	switch what, do := cutAdvice(err.Error()); {
	case errors.Is(err, errBlank):
		l.refuse(e, c.Place, header+" is blank", "fill it in")
	case errors.As(err, &form):
		l.refuse(e, c.Place, header+" "+form.What, form.Do)
	case errors.Is(err, errNoSize):
		l.refuse(e, c.Place, fmt.Sprintf("%s %q is not a size", header, sheet.Excerpt(c.Word())), "write width x height, such as 3'-0\" x 5'-0\"")
	default:
		l.refuse(e, c.Place, fmt.Sprintf("%s %q %s", header, sheet.Excerpt(c.Word()), what), do)
	}
}

// cutAdvice parts "what (do)".
func cutAdvice(s string) (what, do string) {
	at := strings.LastIndex(s, " (")
	if at < 0 || !strings.HasSuffix(s, ")") {
		return s, ""
	}
	return s[:at], s[at+2 : len(s)-1]
}

// same is how far two sizes of one opening may be apart: rounding.
const same = measure.Inch / 8

func (r reading) differs(o reading) bool {
	far := func(a, b measure.Length) bool { return max(a, b)-min(a, b) > same }
	return far(r.W, o.W) || far(r.H, o.H)
}

func (r reading) String() string { return sizeText(r.Size, r.unit >= measure.Millimeters) }

func sizeText(s estimate.Size, metric bool) string {
	if metric {
		return measure.FormatMM(s.W) + " x " + measure.FormatMM(s.H) + " mm"
	}
	return measure.FormatInches(s.W, 16) + " x " + measure.FormatInches(s.H, 16) + " in"
}

// keep takes a reading, unless its basis has one: then the two must agree.
func (l *list) keep(e *entry, r reading, quiet bool) {
	basis := r.from.basis
	if r.call != "" && basis == Unstated {
		basis = Call
	}
	old, taken := e.read[basis]
	switch {
	case !taken:
		if basis == Call && r.call == "" {
			r.call = callText(r)
		}
		e.read[basis] = r
	case old.differs(r) && !quiet:
		l.say(r.from.cell().Place, estimate.Warning, fmt.Sprintf("%s says %s where %s says %s; the latter is taken", r.from.from, r, old.from.from, old),
			"check which is right")
	}
}

// callText writes a size as a call size.
func callText(r reading) string {
	if r.unit >= measure.Millimeters {
		return measure.FormatMM(r.W) + " mm x " + measure.FormatMM(r.H) + " mm"
	}
	return measure.FormatFeetInches(r.W, 64) + " x " + measure.FormatFeetInches(r.H, 64)
}

// overrule takes a component's own size where it differs from its type's.
func (l *list) overrule(e *entry) {
	r, _, err := l.readSize(e, *e.own)
	if err != nil {
		return
	}
	old, taken := e.read[Unstated]
	if taken && !old.differs(r) {
		return
	}
	e.read[Unstated] = r
	if taken && e.reason == "" {
		l.say(r.from.cell().Place, estimate.Warning, fmt.Sprintf("%s is %s, its type %s; its own size is taken", strings.Join(e.pieces, ", "), r, old),
			"check which is right")
	}
}

// settle gives sizes without a basis the one that was asked for, and settles
// what only the size can tell.
func (l *list) settle(e *entry) {
	if r, ok := e.read[Unstated]; ok && l.options.Basis != Unstated {
		if _, taken := e.read[l.options.Basis]; !taken {
			e.read[l.options.Basis] = r
		}
	}
	if !e.doubt {
		return
	}
	for _, b := range []Basis{Frame, Opening, Unstated, Call} {
		r, ok := e.read[b]
		if !ok {
			continue
		}
		if r.H < minDoor {
			e.kind = estimate.Window
		}
		l.say(e.place, estimate.Warning, fmt.Sprintf("%s, %s high, is called a patio unit or a slider, and neither door nor window; it is taken for a %s", e.name(),
			measure.FormatInches(r.H, 16), e.kind), "correct Kind if it is not")
		return
	}
}

// askBasis refuses the entries of which nothing says what their size is the
// size of, once a column.
func (l *list) askBasis() {
	type ask struct {
		at   estimate.Place
		from string
		n    int64
	}
	var asks []ask
	for _, e := range l.entries {
		r, ok := e.read[Unstated]
		if !ok || len(e.read) > 1 || e.bad || e.reason != "" {
			continue
		}
		e.bad = true
		at := r.from.cell().Place
		at.Row = l.at.Row
		i := slices.IndexFunc(asks, func(a ask) bool { return a.from == r.from.from })
		if i < 0 {
			i, asks = len(asks), append(asks, ask{at: at, from: r.from.from})
		}
		asks[i].n += e.qty
	}
	for _, a := range asks {
		l.say(a.at, estimate.Error, fmt.Sprintf("%q does not say what it is the size of: the frame or the rough opening; %s left out",
			sheet.Excerpt(a.from), many(int(a.n), "opening")), "say --basis frame or --basis opening")
	}
}
