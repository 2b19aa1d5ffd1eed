package estimate

import (
	"slices"
	"strings"
	"unicode"
)

// RoomUse is what a room is used for, as far as the code asks.
type RoomUse string

// The uses. Sleeping stands for habitable basements and attics too, of which the same is asked.
const (
	Sleeping  RoomUse = "sleeping"
	Bathing   RoomUse = "bathing" // with a tub or shower
	Stairs    RoomUse = "stairs"
	Habitable RoomUse = "habitable" // none of these; in a basement it counts as sleeping
	Utility   RoomUse = "utility"   // not for people to stay in
)

// roomWords are what people write for rooms, and what they are used for. The first that is
// found takes its words out of the text: a half bath has no tub. Alone are words that say
// it only under Room, where no other does: in a note bed is a bed of sealant.
var roomWords = []struct {
	use   RoomUse
	words []string
	alone []string
}{
	{Utility, []string{"half bath", "half bathroom", "powder room", "powder rm", "laundry tub", "water closet"},
		[]string{"powder", "toilet", "wc", "lav", "lavatory", "restroom"}},
	{Stairs, []string{"stair", "stairs", "stairway", "stairwell", "staircase", "stair landing"}, []string{"landing", "stwy", "str", "strs"}},
	{Bathing, []string{"bath", "baths", "bathroom", "bathrooms", "bathrm", "bath rm", "shower", "showers", "tub", "tubs", "bathtub", "hot tub"},
		[]string{"ba", "bth", "bthrm", "ensuite", "en suite", "mba", "whirlpool", "sauna", "steam room"}},
	{Sleeping, []string{"bedroom", "bedrooms", "bedrm", "bdrm", "bed room", "bed rm", "sleeping", "sleeping room", "egress", "habitable basement",
		"finished basement", "finished bsmt", "habitable attic", "finished attic", "guest room", "bunk room", "nursery"}, []string{"br", "mbr", "bed",
		"beds", "dormitory"}},
	{Habitable, []string{"kitchen", "living", "living room", "dining", "dining room", "family room", "great room", "sunroom"},
		[]string{"kit", "lr", "dr", "fr", "family", "great", "office", "study", "den", "library", "rec", "rec room", "game room", "media", "media room", "playroom",
			"breakfast", "nook", "bonus room", "gym", "exercise", "exercise room", "sun room", "studio", "craft room", "sewing"}},
	{Utility, []string{"garage", "laundry", "mudroom", "pantry", "closet"},
		[]string{"hall", "hallway", "foyer", "entry", "entrance", "vestibule", "mud room", "mud", "utility", "mechanical", "mech", "storage", "store", "shop",
			"workshop", "porch", "crawl space", "barn", "shed", "furnace", "boiler", "corridor", "lobby"}},
	{Sleeping, nil, []string{"master", "mstr", "primary", "guest", "guest suite", "master suite", "primary suite", "owners suite", "owner s suite",
		"suite", "kids"}},
}

// basementWords say that a room lies in a basement.
var basementWords = []string{"basement", "bsmt", "cellar", "lower level", "ll"}

// RoomUses returns what a room is used for, by its name and by the notes of the schedule;
// none = they name no room that is known. Of two rooms in one cell each is asked.
func RoomUses(room, notes string) []RoomUse {
	parts := roomParts(room)
	if len(parts) < 2 {
		return roomUses(room, notes)
	}
	out := roomUses("", notes)
	for _, part := range parts {
		out = append(out, roomUses(part, "")...)
	}
	if slices.ContainsFunc(basementWords, func(w string) bool { return strings.Contains(roomText(room), " "+w+" ") }) && slices.Contains(out, Habitable) {
		out = append(out, Sleeping)
	}
	slices.SortFunc(out, func(a, b RoomUse) int { return slices.Index(roomUseOrder, a) - slices.Index(roomUseOrder, b) })
	return slices.Compact(out)
}

// roomUseOrder is the order of the uses of several rooms.
var roomUseOrder = []RoomUse{Utility, Stairs, Bathing, Sleeping, Habitable}

// roomParts returns the rooms that a cell names.
func roomParts(room string) []string {
	return strings.FieldsFunc(room, func(r rune) bool { return strings.ContainsRune("/,;+&", r) })
}

func roomUses(room, notes string) []RoomUse {
	var out []RoomUse
	take := func(text *string, use RoomUse, words []string) {
		for _, w := range words {
			if !strings.Contains(*text, w) {
				continue // most are not there, and need no copy of the text
			}
			if in := strings.Replace(*text, " "+w+" ", " ; ", 1); in != *text {
				*text = in
				if !slices.Contains(out, use) {
					out = append(out, use)
				}
			}
		}
	}
	room, notes = roomText(room), roomText(notes)
	basement := slices.ContainsFunc(basementWords, func(w string) bool { return strings.Contains(room, " "+w+" ") })
	for _, r := range roomWords {
		if len(r.words) == 0 && len(out) > 0 {
			break // a guest bath is no bedroom
		}
		take(&room, r.use, r.words)
		take(&notes, r.use, r.words)
		take(&room, r.use, r.alone)
	}
	attic := strings.Contains(room, " attic ") && slices.Contains(out, Habitable)
	asks := !slices.ContainsFunc(out, func(use RoomUse) bool { return use == Bathing || use == Stairs || use == Sleeping })
	switch {
	case basement && slices.Contains(out, Habitable), attic && asks:
		out = append(out, Sleeping) // the code asks the same of habitable basements and attics
	case basement && asks:
		return nil // whether it is habitable is not said
	}
	return out
}

// roomText returns the words of a text between spaces, without numbers: Bedroom2 is a
// bedroom.
func roomText(text string) string {
	return " " + spaced(strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return ' '
		}
		return r
	}, text)) + " "
}

// egressHeaders are headers under which schedules say that a window is for escape.
var egressHeaders = []string{"egress", "egress required", "egress window", "escape", "emergency escape"}

// usedFor reports whether an opening stands in a room of a use. Notes may say that it
// does; that it does not, only Room says.
func (o *Opening) usedFor(use RoomUse) Finding {
	uses := RoomUses(o.Room, o.Notes+"; "+o.opens())
	if said := strings.ToLower(strings.TrimSpace(o.extra(egressHeaders))); !slices.Contains(noWords, said) {
		uses = append(uses, Sleeping)
	}
	if o.Story.Set && o.Story.V == 0 && slices.Contains(uses, Habitable) {
		uses = append(uses, Sleeping)
	}
	switch {
	case slices.Contains(uses, use):
		return flaggedIf(true)
	case len(roomParts(o.Room)) > 0 && !slices.ContainsFunc(roomParts(o.Room), func(room string) bool { return len(roomUses(room, "")) == 0 }):
		return flaggedIf(false)
	}
	return lacking("Room")
}
