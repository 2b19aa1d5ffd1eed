package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

// What an entry is, from words alone. Our own wording; the sorts are those of
// real schedules.
func TestClassify(t *testing.T) {
	const asked = "asked back"
	for _, tt := range []struct {
		why  string
		e    entry
		l    list
		want string // kind, reason, or asked back
	}{
		{"by its column", entry{class: "Window"}, list{}, "window"},
		{"by its operation", entry{labels: []string{"Casement LH"}}, list{}, "window"},
		{"by the sheet", entry{}, list{context: []string{"Windows"}}, "window"},
		{"by the nearest that says one of both", entry{section: []string{"Windows"}}, list{context: []string{"Window and door schedule"}}, "window"},
		{"nothing says it", entry{}, list{context: []string{"Window and door schedule"}}, asked},
		{"door between dashes and capitals", entry{labels: []string{"DoorStyle_Exterior_DoorType16"}}, list{}, "entry door"},
		{"interior between underscores", entry{labels: []string{"DoorStyle_Interior_DoorType04"}}, list{}, interiorDoor},
		{"interior beside door", entry{labels: []string{"Interior door, flush"}}, list{}, interiorDoor},
		{"a white inside is no place", entry{labels: []string{"Window, casement, white interior"}}, list{}, "window"},
		{"interior window", entry{labels: []string{"Interior window"}}, list{}, interiorWindow},
		{"by the heading", entry{class: "Door", section: []string{"Exterior doors"}}, list{}, "entry door"},
		{"two rooms", entry{class: "Door", rooms: []string{"101, 102"}}, list{}, interiorDoor},
		{"a room and the outside", entry{class: "Door", rooms: []string{"101", "Terrace"}}, list{}, "entry door"},
		{"one room, where all are listed", entry{class: "Door", rooms: []string{"101"}}, list{spaces: true}, "entry door"},
		{"one room, where only that which it serves is listed", entry{class: "Door", rooms: []string{"101"}}, list{}, asked},
		{"a window in two rooms is kept, with a warning", entry{class: "Window", rooms: []string{"101, 102"}}, list{}, "window"},
		{"column exterior", entry{class: "Door", outside: "TRUE"}, list{}, "entry door"},
		{"column exterior, no", entry{class: "Door", outside: "no"}, list{}, interiorDoor},
		{"entry door", entry{labels: []string{"Entry door, fibreglass"}}, list{}, "entry door"},
		{"a window at the entry", entry{labels: []string{"Entry window"}}, list{}, "window"},
		{"overhead", entry{labels: []string{"OHD"}}, list{}, "overhead door"},
		{"a window in the garage door is no overhead door", entry{labels: []string{"Garage window"}}, list{}, "window"},
		{"sliding, of the class door", entry{class: "Door", labels: []string{"Sliding"}}, list{}, "patio door"},
		{"sliding, of the class window", entry{class: "Window", labels: []string{"Sliding"}}, list{}, "window"},
		{"pocket door", entry{class: "Door", labels: []string{"Pocket door"}}, list{}, interiorDoor},
		{"glass in a door", entry{class: "Window", position: "Door"}, list{}, glassInDoor},
		{"what is asked back is asked once", entry{labels: []string{"FD"}}, list{}, asked},
		{"French", entry{class: "Door", labels: []string{"French"}, outside: "yes"}, list{}, asked},
	} {
		t.Run(tt.why, func(t *testing.T) {
			tt.l.classify(&tt.e)
			got := string(tt.e.kind)
			switch {
			case tt.e.bad:
				got = asked
				assert.Equal(t, 1, estimate.Errors(tt.l.problems))
			case tt.e.reason != "":
				got = tt.e.reason
			}
			assert.Equal(t, tt.want, got)
		})
	}
}

// A text that stands alone in a row is the title of what follows, or the mark of
// an opening without a size.
func TestTitleLike(t *testing.T) {
	for text, want := range map[string]bool{
		"Second floor": true, "North elevation 2": true, "Garage": true, "East": true, "Bay": false,
		"W7": false, "D101A": false, "W-1201": false, "12 34": false, "2026": false,
	} {
		assert.Equal(t, want, titleLike(text), text)
	}
}

func TestLongNotesAreCut(t *testing.T) {
	assert.Equal(t, "tempered glass", excerptLong(" tempered   glass"))
	assert.Equal(t, strings.Repeat("x", 500), excerptLong(strings.Repeat("x", 500)))
	assert.Equal(t, strings.Repeat("x", 500)+"…", excerptLong(strings.Repeat("x", 501)))
}

func TestStory(t *testing.T) {
	for text, want := range map[string]estimate.Maybe[int64]{
		"2": estimate.Given[int64](2), "Level Two": estimate.Given[int64](2), "2nd floor": estimate.Given[int64](2), "First floor": estimate.Given[int64](1),
		"Level 10": estimate.Given[int64](10), "Basement": estimate.Given[int64](0), "Roof": {}, "Level 1, Level 2": {}, "": {},
	} {
		assert.Equal(t, want, story(text), text)
	}
}
