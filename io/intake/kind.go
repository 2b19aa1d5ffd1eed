package intake

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// specificWords are words that tell a kind of door by themselves. Shared ones
// are said of windows too, and must not stand beside a word for a window.
type specificWords struct {
	kind   estimate.Kind
	words  []string
	shared bool
}

// specific lists the kinds of door; the first that fits is taken.
var specific = []specificWords{
	{estimate.OverheadDoor, sheet.KindPhrases(estimate.OverheadDoor), true},
	{estimate.PatioDoor, sheet.KindPhrases(estimate.PatioDoor), false},
	{estimate.EntryDoor, sheet.KindPhrases(estimate.EntryDoor), true},
}

// patioWords beside a word for a window, or for nothing, are a patio door if it
// is as high as one.
var patioWords = []string{"patio", "patio slider"}

// minDoor is the height from which a unit called window and patio is a door:
// people walk through it.
const minDoor = 72 * measure.Inch

// classify finds what an entry is: its kind, or why it is none of this work.
func (l *list) classify(e *entry) {
	if e.bad || e.reason != "" {
		return
	}
	own := make([]string, 0, len(e.labels)+1)
	for _, t := range append([]string{e.class}, e.labels...) {
		own = append(own, words(t))
	}
	about := make([]string, 0, len(e.section)+len(l.context))
	for _, t := range slices.Concat(e.section, l.context) {
		about = append(about, words(t))
	}
	if e.reason = notOurs(own); e.reason != "" {
		return
	}
	l.kind(e, own, about)
	if !e.bad {
		l.doubtful(e)
	}
	if e.bad {
		return
	}
	l.outside(e, own, about)
}

// notOurs returns why what a line says of itself is none of this work.
func notOurs(own []string) string {
	if anyHas(own, glassWords) {
		return glassInDoor
	}
	for _, t := range own {
		if reason := sheet.NotEstimated(t); reason != "" {
			return reason
		}
	}
	for _, t := range own {
		if short(t) && estimate.ShapeOfType(t) != "" {
			return notRectangle
		}
	}
	return ""
}

// short reports whether a text is a type, and not a description in which other
// things may be named.
func short(text string) bool { return len(strings.Fields(text)) <= 4 }

// types returns what a line says of its type, without its mark.
func (e *entry) types() []string {
	out := append(slices.Clone(e.labels), e.class)
	return slices.DeleteFunc(out, func(t string) bool { return t == "" || t == e.mark && e.named || !short(t) })
}

// doubtful asks back a type that is none of the kinds by itself, whatever the
// sheet is called, and warns of one that is not known.
func (l *list) doubtful(e *entry) {
	if e.unsettled != "" && e.byContext {
		l.say(e.place, estimate.Warning, fmt.Sprintf("%s: the type %q is not settled; by the name of the list it is taken for a %s", e.name(), e.unsettled, e.kind),
			"correct Kind when it is known")
	}
	for _, t := range e.types() {
		k, known := sheet.ReadKind(t)
		switch {
		case !known && e.kind == estimate.Window && e.byContext && strange(t, e):
			l.say(e.place, estimate.Warning, fmt.Sprintf("%s: the type %q is not known; by the name of the list it is taken for a window", e.name(), sheet.Excerpt(t)),
				"delete the row if it is none")
		case !known || k.Doubt == nil || k.Doubt.Inside || strings.Contains(k.Doubt.May, string(e.kind)) && k.Doubt.Do == "":
		case k.Doubt.Several && e.kind == estimate.Window:
			l.say(e.place, estimate.Warning, fmt.Sprintf("%s: the type %q %s; it is taken for one window", e.name(), sheet.Excerpt(t), k.Doubt.What()), k.Doubt.Do)
		case k.Doubt.Usual != "" || k.Doubt.Do != "" && !e.isDoor():
			l.refuse(e, e.place, fmt.Sprintf("%s: the type %q %s", e.name(), sheet.Excerpt(t), k.Doubt.What()), k.Doubt.Advice(estimate.Kinds))
			return
		}
	}
}

// strange reports whether a type has a word, and not only a code, that says
// nothing of how a window opens.
func strange(text string, e *entry) bool {
	if sheet.OperationIn(text, e.kind) != "" {
		return false
	}
	list := strings.Fields(words(text))
	return !slices.ContainsFunc(list, func(w string) bool { return slices.Contains(plainTypes, w) }) &&
		slices.ContainsFunc(list, func(w string) bool { return len(w) > 2 && strings.Trim(w, "0123456789") != "" })
}

// anyHas reports whether one of the phrases stands in one of the texts.
func anyHas(texts []string, phrases []string) bool {
	return slices.ContainsFunc(texts, func(t string) bool { return has(t, phrases) })
}

// kind finds the kind of an entry: by a word of its own that tells a kind of
// door, by window or door, and last by what stands above it.
func (l *list) kind(e *entry, own, about []string) {
	for _, t := range own[1:] {
		own = append(own, t+" "+own[0]) // sliding, of the class door
	}
	for _, t := range e.types() {
		if e.kind = doorOf(t, genericIn(about)); e.kind != "" {
			e.told = true
			return
		}
	}
	if genericIn(own) == "" && genericIn(about) != estimate.EntryDoor && slices.ContainsFunc(e.types(), slides) {
		e.kind, e.told, e.doubt = estimate.PatioDoor, true, true
		return
	}
	for i, texts := range [][]string{own, about} {
		e.byContext = i == 1
		if e.kind = specificIn(texts); e.kind != "" {
			e.told = true
			return
		}
		generic := genericIn(texts)
		switch {
		case anyHas(texts, patioWords):
			e.kind, e.told, e.doubt = estimate.PatioDoor, true, generic != estimate.EntryDoor
		case generic == estimate.EntryDoor && anyHas(own, slidingWords):
			e.kind = estimate.PatioDoor
		case generic == estimate.EntryDoor && anyHas(own, frenchWords):
			l.refuse(e, e.place, fmt.Sprintf("%s: a French door may be set as an entry door or as a patio door", e.name()),
				"write entry door or patio door in its type or description")
			return
		default:
			e.kind = generic
		}
		if e.kind != "" {
			return
		}
	}
	for _, t := range e.types() { // DH, bay, FX: words that mean a window only alone
		if k, known := sheet.ReadKind(t); known && k.Doubt == nil && k.Kind == estimate.Window {
			e.kind, e.byContext = estimate.Window, false
			return
		}
	}
	l.refuse(e, e.place, fmt.Sprintf("%s: nothing says what kind of opening it is", e.name()),
		"add a column Kind with window, entry door, patio door or overhead door, or name the sheet Windows or Doors")
}

// slides reports whether a type is a slider, of which the height says whether it
// is a window or a patio door.
func slides(text string) bool {
	k, known := sheet.ReadKind(text)
	return known && k.Slider
}

// doorOf returns the kind of door that a type names as a whole, "" when it names
// none. In a list of windows only a word for a door does: "front" may be a side
// of the house there.
func doorOf(text string, listed estimate.Kind) estimate.Kind {
	k, known := sheet.ReadKind(text)
	panels := strings.Trim(strings.ToLower(text), "xo") == ""
	switch {
	case !known:
	case k.Doubt == nil && k.Kind != "" && k.Kind.IsDoor() && (listed != estimate.Window || has(words(text), doorWords)):
		return k.Kind
	case listed == estimate.EntryDoor && k.Slider && panels:
		return estimate.PatioDoor
	case listed == estimate.EntryDoor && k.Doubt != nil && k.Operation == estimate.Sidelites:
		return estimate.EntryDoor
	}
	return ""
}

func specificIn(texts []string) estimate.Kind {
	for _, s := range specific {
		for _, t := range texts {
			if has(t, s.words) && !(s.shared && has(t, windowWords)) {
				return s.kind
			}
		}
	}
	return ""
}

// genericIn returns what the first text says that speaks of windows or of
// doors, and not of both.
func genericIn(texts []string) estimate.Kind {
	for _, t := range texts {
		switch window, door := has(t, windowWords), has(t, doorWords); {
		case window && !door:
			return estimate.Window
		case door && !window:
			return estimate.EntryDoor
		}
	}
	return ""
}

// operation returns how the unit of an entry opens, by the first of its texts
// that says so.
func (e *entry) operation() estimate.Operation {
	for _, t := range append(slices.Clone(e.labels), e.class) {
		if op := sheet.OperationIn(t, e.kind); op != "" {
			return op
		}
	}
	return ""
}

// isDoor reports whether an entry is known to be a door.
func (e *entry) isDoor() bool { return e.kind != "" && e.kind.IsDoor() }

// name names an entry in messages.
func (e *entry) name() string {
	switch {
	case len(e.pieces) > 0:
		return sheet.Excerpt(e.pieces[0])
	case e.mark == "":
		return "this line"
	}
	return sheet.Excerpt(e.mark)
}

// outside leaves out what stands inside the house. A window is outside unless
// something says otherwise; of a door something must say so.
func (l *list) outside(e *entry, own, about []string) {
	where := l.where(e, own, about)
	window := e.kind == estimate.Window || e.doubt
	switch {
	case where == inLeaf && window:
		e.reason = glassInDoor
	case where == inside && window:
		e.reason = interiorWindow
	case where == inside:
		e.reason = interiorDoor
	case where == between && !window:
		e.reason = interiorDoor
	case where == between:
		l.say(e.place, estimate.Warning, fmt.Sprintf("%q is a window between the rooms %q", e.name(), sheet.Excerpt(strings.Join(e.rooms, ", "))),
			"it is taken for one in the outside wall; delete it if it is not")
	case where == oneRoom:
		l.say(e.place, estimate.Warning,
			fmt.Sprintf("%q adjoins one room only, %q, and is taken for an exterior door", e.name(), sheet.Excerpt(strings.Join(e.rooms, ", "))),
			"delete it if it is not")
	case where == unknown && !window && !e.told:
		l.refuse(e, e.place, fmt.Sprintf("%s: nothing says whether this door is an exterior one", e.name()), "add a column Position with Exterior or Interior")
	}
}

// place is where something says that an opening stands.
type place int

const (
	unknown place = iota
	exterior
	inside
	inLeaf
	between // two rooms
	oneRoom // and nothing else, where all that it adjoins is listed
)

// where weighs what says where an opening stands: its column, its own words,
// the rooms that it adjoins, the headings above it.
func (l *list) where(e *entry, own, about []string) place {
	switch words(e.outside) {
	case "yes", "true", "y", "x", "1":
		return exterior
	case "no", "false", "n", "0":
		return inside
	}
	position := words(e.position)
	switch {
	case slices.Contains(outsideWords, position), slices.Contains(inPlace, position):
		return exterior
	case slices.Contains(insideWords, position):
		return inside
	case slices.Contains(doorWords, position), position == "in door", position == "door leaf":
		return inLeaf
	}
	if p := saysWhere(append([]string{e.class}, e.labels...)); p != unknown {
		return p
	}
	if anyHas(own, sheet.InsideDoors) && e.isDoor() && !e.doubt {
		return inside
	}
	rooms := splitRooms(e.rooms)
	switch {
	case slices.ContainsFunc(rooms, func(r string) bool { return has(words(r), outdoors) }):
		return exterior
	case len(rooms) > 1:
		return between
	case len(rooms) == 1 && l.spaces && e.isDoor():
		return oneRoom
	}
	if p := saysWhere(slices.Concat(e.section, l.context)); p != unknown {
		return p
	}
	return unknown
}

// saysWhere looks for exterior and interior as a part of a text of its own, or
// beside the word door or window.
func saysWhere(texts []string) place {
	for _, t := range texts {
		parts := strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune("_:;,|/()-–", r) })
		for _, p := range parts {
			switch w := words(p); {
			case slices.Contains(outsideWords, w):
				return exterior
			case slices.Contains(insideWords, w):
				return inside
			}
		}
		list := strings.Fields(words(t))
		for i := range list {
			if i+1 == len(list) {
				break
			}
			for _, pair := range [][2]string{{list[i], list[i+1]}, {list[i+1], list[i]}} {
				thing := slices.Contains(doorWords, pair[1]) || slices.Contains(windowWords, pair[1])
				switch {
				case thing && slices.Contains(outsideWords, pair[0]):
					return exterior
				case thing && slices.Contains(insideWords, pair[0]):
					return inside
				}
			}
		}
	}
	return unknown
}

// splitRooms returns the rooms of cells that may name two.
func splitRooms(cells []string) []string {
	var out []string
	for _, c := range cells {
		for _, r := range strings.FieldsFunc(c, func(r rune) bool { return r == ',' || r == ';' || r == '/' || r == '&' }) {
			if r = strings.TrimSpace(r); r != "" && !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	return out
}

// story returns the number of a story as people write it: 2, Level Two, 2nd
// floor.
func story(text string) estimate.Maybe[int64] {
	list := strings.Fields(words(text))
	var found []int64
	for _, w := range list {
		n, known := sheet.StoryWord(w)
		switch {
		case known:
			found = append(found, n)
		case len(w) <= 2 && strings.Trim(w, "0123456789") == "":
			var n int64
			fmt.Sscan(w, &n)
			found = append(found, n)
		}
	}
	if len(found) != 1 {
		return estimate.Maybe[int64]{}
	}
	return estimate.Given(found[0])
}
