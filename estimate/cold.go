package estimate

import (
	"errors"
	"slices"
	"strings"
)

// Coldest returns the lowest temperature that is expected in a phase, in degrees F. Of
// trim and finish it is that of the install phase where none is stated; a shop is warm
// enough unless it is said.
func (j *Job) Coldest(phase Phase) Maybe[int64] {
	switch {
	case phase == PhaseShop:
		return j.ColdestShop
	case phase != PhaseInstall && j.ColdestTrim.Set:
		return j.ColdestTrim
	}
	return j.ColdestF
}

// ColdAccepted is by whose word items are used below the temperature that their makers
// ask for.
type ColdAccepted struct {
	Items []string
	Word  string // who, date, document, surface temperature; "" = nobody does
}

// Of reports whether an item may be used in spite of the cold.
func (a ColdAccepted) Of(item string) bool { return slices.Contains(a.Items, item) }

// parseColdAccepted reads the items, a colon, and by whose word.
func parseColdAccepted(s string) (ColdAccepted, error) {
	if strings.TrimSpace(s) == "" {
		return ColdAccepted{}, nil
	}
	items, word, _ := strings.Cut(s, ":")
	out := ColdAccepted{Word: strings.TrimSpace(word)}
	for _, item := range strings.FieldsFunc(items, func(r rune) bool { return r == ',' || r == ';' }) {
		if item = strings.TrimSpace(item); item != "" {
			out.Items = append(out.Items, item)
		}
	}
	if out.Word == "" || len(out.Items) == 0 {
		return ColdAccepted{}, errors.New("write the items, a colon, and who accepts it, the date, the maker's document and the temperature of the surface: " +
			"foam-low, tape-9: crew lead, 2026-11-20, maker's cold-weather sheet, surface 25 F")
	}
	return out, nil
}
