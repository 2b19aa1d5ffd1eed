package pricelist

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// A few unknown names are reported one by one, more of them in one problem, which
// quotes some.
const (
	handful   = 5
	maxListed = 10
)

// unknownItem is a name in a price list that is no item's.
type unknownItem struct {
	cell sheet.Cell // where it stands first
	near string     // the item that may be meant, "" = none
	rows int
}

// unknownItems are the rows of a list that are about no item of ours.
type unknownItems struct {
	unnamed []sheet.Cell   // cells of items that are blank
	slips   []*unknownItem // look like a slip for an item
	others  []*unknownItem
	seen    map[string]*unknownItem // by name in lower case
	slip    map[string]bool
}

// findItem finds an item by its key, its name, or what people call it.
func findItem(names sheet.ItemNames, items estimate.Items, name string) (estimate.Item, bool) {
	key, _, ok := names.Find(name)
	if !ok {
		return estimate.Item{}, false
	}
	return items.Get(key)
}

// nearestItem returns the key that a mistyped one probably means, or "".
func nearestItem(items estimate.Items, name string) string {
	var keys []string
	for _, it := range items.List() {
		keys = append(keys, it.Key)
	}
	near, _ := sheet.Nearest(name, keys)
	return near
}

// add takes up a row that names no item. It reports whether the row seems to
// be about one all the same, so that what else is wrong with it matters.
func (s *unknownItems) add(cell sheet.Cell, name string, items estimate.Items) bool {
	if name == "" {
		s.unnamed = append(s.unnamed, cell)
		return false
	}
	folded := strings.ToLower(name)
	if met := s.seen[folded]; met != nil {
		met.rows++
		return s.slip[folded]
	}
	if s.seen == nil {
		s.seen, s.slip = map[string]*unknownItem{}, map[string]bool{}
	}
	met := &unknownItem{cell: cell, near: nearestItem(items, name), rows: 1}
	s.seen[folded] = met
	// A name that differs in its figures alone is another size.
	if met.near != "" && !strings.EqualFold(withoutDigits(met.near), withoutDigits(name)) {
		s.slip[folded] = true
		s.slips = append(s.slips, met)
	} else {
		s.others = append(s.others, met)
	}
	return s.slip[folded]
}

func withoutDigits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return -1
		}
		return r
	}, s)
}

// problems tells what rows are left out because they are about no item.
func (s *unknownItems) problems() []estimate.Problem {
	var ps []estimate.Problem
	if n := len(s.unnamed); n > 0 {
		what := "no item is named; the row is not used"
		if n > 1 {
			what = fmt.Sprintf("%d rows, the first here, name no item; they are not used", n)
		}
		ps = append(ps, s.unnamed[0].Problem(estimate.Warning, what, "write the key of an item on the Items sheet where one is needed"))
	}
	ps = append(ps, unknownProblems(s.slips, estimate.Error, "write them as on the Items sheet", func(near string) string {
		return fmt.Sprintf("did you mean %s?", near)
	})...)
	return append(ps, unknownProblems(s.others, estimate.Warning, "add those that are needed to the Items sheet", func(near string) string {
		if near == "" {
			return "add it there if it is needed"
		}
		return fmt.Sprintf("write %s if that is meant, or add it there if it is needed", near)
	})...)
}

// unknownProblems reports names one by one, or of many at the first of them.
func unknownProblems(names []*unknownItem, sev estimate.Severity, doAll string, do func(near string) string) []estimate.Problem {
	if len(names) > handful {
		return []estimate.Problem{names[0].cell.Problem(sev, allInOne(names), doAll)}
	}
	var ps []estimate.Problem
	for _, n := range names {
		what := fmt.Sprintf("%q is not on the Items sheet", n.cell.Word())
		switch {
		case n.rows > 1:
			what += fmt.Sprintf("; the %d rows of it are not used", n.rows)
		case sev != estimate.Error: // which costs its row without saying so
			what += "; the row is not used"
		}
		ps = append(ps, n.cell.Problem(sev, what, do(n.near)))
	}
	return ps
}

// allInOne says what many names have in common. Those that are near an item
// come before those that are not.
func allInOne(names []*unknownItem) string {
	var near, far []string
	rows := 0
	for _, n := range names {
		rows += n.rows
		if n.near != "" {
			near = append(near, fmt.Sprintf("%q (%s?)", n.cell.Word(), n.near))
		} else {
			far = append(far, fmt.Sprintf("%q", n.cell.Word()))
		}
	}
	return fmt.Sprintf("%d names are not on the Items sheet; the %d rows of them are not used: %s", len(names), rows, some(append(near, far...)))
}

// some lists the first of many words.
func some(words []string) string {
	if more := len(words) - maxListed; more > 0 {
		return strings.Join(words[:maxListed], ", ") + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(words, ", ")
}
