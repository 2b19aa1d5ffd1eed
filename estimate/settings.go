package estimate

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"sillwright/estimate/measure"
)

// Setting is a line of the Job sheet: a key, what the crew wrote as its
// value, and what the value may be.
type Setting struct {
	Place   Place // of the value
	Key     string
	Text    string // the value as text, "" = the default holds
	Unit    string // UnitLength and so on, another unit of a whole number (F, year), or the words that it may be, joined by |
	Default string
	Meaning string
	Source  string
}

// The units of settings that are more than whole numbers.
const (
	UnitText    = "text"
	UnitLength  = "length"
	UnitPercent = "percent"
	UnitMoney   = "money"
	UnitDate    = "date"
	UnitItem    = "item"   // a key of the Items sheet
	UnitLayout  = "layout" // a trim layout, or NoTrim
)

// Words returns the words that the value may be, nil when it is no choice.
func (s Setting) Words() []string {
	if !strings.Contains(s.Unit, "|") {
		return nil
	}
	return strings.Split(s.Unit, "|")
}

// Value returns the text that holds: the crew's, else the default.
func (s Setting) Value() string {
	return cmp.Or(s.Text, s.Default)
}

// bind ties a key of the Job sheet to its place in a Job: it stores the value
// or says what is wrong with it.
type bind struct {
	key string
	set func(j *Job, s string) error
}

func text[S ~string](at func(*Job) *S) func(*Job, string) error {
	return func(j *Job, s string) error { *at(j) = S(s); return nil }
}

func yes(at func(*Job) *bool) func(*Job, string) error {
	return func(j *Job, s string) error { *at(j) = s == "yes"; return nil }
}

func length(at func(*Job) *measure.Length) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		*at(j), err = measure.ParseLength(s, j.Bare())
		return err
	}
}

func rate(at func(*Job) *measure.Rate) func(*Job, string) error {
	return func(j *Job, s string) error {
		r, err := percent(s)
		if err == nil {
			*at(j) = r
		}
		return err
	}
}

// percent reads a rate of the Job sheet, in percent with or without the sign.
func percent(s string) (measure.Rate, error) {
	r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s, "%")) + " %")
	if err == nil && r > measure.One {
		err = &measure.FormError{What: fmt.Sprintf("of %s is over 100 %%", r), Do: "write 6 for 6 %"}
	}
	return r, err
}

func count(at func(*Job) *int64) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		*at(j), err = measure.ParseCount(s)
		return err
	}
}

// number reads a whole number that may be negative and may be missing.
func number(at func(*Job) *Maybe[int64]) func(*Job, string) error {
	return func(j *Job, s string) error {
		n, err := strconv.ParseInt(s, 10, 32)
		if err != nil {
			return &measure.FormError{What: fmt.Sprintf("%q is not a whole number", s), Do: "write digits alone"}
		}
		*at(j) = Given(n)
		return nil
	}
}

func ofKind[S ~string](k Kind, at func(*Job) map[Kind]S) func(*Job, string) error {
	return func(j *Job, s string) error { at(j)[k] = S(s); return nil }
}

func side(k Kind, at func(*Job) map[Kind]Size, height bool) func(*Job, string) error {
	return func(j *Job, s string) error {
		l, err := measure.ParseLength(s, j.Bare())
		if err != nil {
			return err
		}
		size := at(j)[k]
		if height {
			size.H = l
		} else {
			size.W = l
		}
		at(j)[k] = size
		return nil
	}
}

func depth(k Kind) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		j.Depth[k], err = measure.ParseLength(s, j.Bare())
		return err
	}
}

func role(name string) bind {
	return bind{name, func(j *Job, s string) error { j.Role[name] = s; return nil }}
}

func allowance(name string) bind {
	return bind{"allowance " + name, func(j *Job, s string) error {
		r, err := percent(s)
		if err == nil {
			j.Allowance[name] = r
		}
		return err
	}}
}

func legClearance(on SitsOn) bind {
	return bind{"leg clearance " + string(on), func(j *Job, s string) (err error) {
		j.LegClearance[on], err = measure.ParseLength(s, j.Bare())
		return err
	}}
}

// money reads an amount that may be missing.
func money(at func(*Job) *Maybe[measure.Money]) func(*Job, string) error {
	return func(j *Job, s string) error {
		m, err := measure.ParseMoney(s)
		if err == nil && m < 0 {
			err = &measure.FormError{What: fmt.Sprintf("%q is below 0", s), Do: "write an amount, or leave it blank"}
		}
		if err == nil {
			*at(j) = Given(m)
		}
		return err
	}
}

func visitDate(v Visit) bind {
	return bind{"date " + string(v), func(j *Job, s string) error {
		d, err := measure.ParseDate(s)
		if err == nil {
			j.VisitDate[v] = d
		}
		return err
	}}
}

// trimBoard ties a board of a trim set; the entry and patio doors share one.
func trimBoard(key string, at func(*TrimSet) *string, kinds ...Kind) bind {
	return bind{key, func(j *Job, s string) error {
		for _, k := range kinds {
			set := j.Trim[k]
			*at(&set) = s
			j.Trim[k] = set
		}
		return nil
	}}
}

func headOf(t *TrimSet) *string   { return &t.Head }
func legOf(t *TrimSet) *string    { return &t.Leg }
func bottomOf(t *TrimSet) *string { return &t.Bottom }
func mullOf(t *TrimSet) *string   { return &t.Mull }
func layoutOf(t *TrimSet) *string { return &t.Layout }

func clearances(j *Job) map[Kind]Size       { return j.Clearance }
func callMeans(j *Job) map[Kind]CallMeaning { return j.CallMeans }
func flanges(j *Job) map[Kind]Flange        { return j.Flange }
func sitsOn(j *Job) map[Kind]SitsOn         { return j.SitsOn }
func pans(j *Job) map[Kind]Pan              { return j.Pan }

// binds is the whole Job sheet. "units" comes first: it decides what a bare
// number on the other lines means.
var binds = []bind{
	{"units", func(j *Job, s string) error { j.MM = s == "mm"; return nil }},
	{"job number", text(func(j *Job) *string { return &j.Number })},
	{"job name", text(func(j *Job) *string { return &j.Name })},
	{"job date", func(j *Job, s string) error {
		d, err := measure.ParseDate(s)
		if err == nil {
			j.Date = Given(d)
		}
		return err
	}},
	{"note", text(func(j *Job) *string { return &j.Note })},
	{"ship to", text(func(j *Job) *string { return &j.ShipTo })},
	visitDate(VisitSet), visitDate(VisitShop), visitDate(VisitTrim),
	{"currency", text(func(j *Job) *string { return &j.Currency })},
	{"paper", text(func(j *Job) *string { return &j.Paper })},
	{"protect sheets", yes(func(j *Job) *bool { return &j.Protect })},
	{"year built", number(func(j *Job) *Maybe[int64] { return &j.YearBuilt })},
	{"coldest forecast", number(func(j *Job) *Maybe[int64] { return &j.ColdestF })},
	{"stud depth", length(func(j *Job) *measure.Length { return &j.Stud })},
	{"sheathing", length(func(j *Job) *measure.Length { return &j.Sheathing })},
	{"outside insulation", length(func(j *Job) *measure.Length { return &j.Insulation })},
	{"wall face", text(func(j *Job) *Face { return &j.Face })},
	{"prime for strip", yes(func(j *Job) *bool { return &j.PrimeForStrip })},
	{"clearance window width", side(Window, clearances, false)},
	{"clearance window height", side(Window, clearances, true)},
	{"clearance patio door width", side(PatioDoor, clearances, false)},
	{"clearance patio door height", side(PatioDoor, clearances, true)},
	{"clearance entry door width", side(EntryDoor, clearances, false)},
	{"clearance entry door height", side(EntryDoor, clearances, true)},
	{"clearance slab width", length(func(j *Job) *measure.Length { return &j.SlabClearance.W })},
	{"clearance slab height", length(func(j *Job) *measure.Length { return &j.SlabClearance.H })},
	{"clearance overhead door width", side(OverheadDoor, clearances, false)},
	{"clearance overhead door height", side(OverheadDoor, clearances, true)},
	{"call size window", ofKind(Window, callMeans)},
	{"call size patio door", ofKind(PatioDoor, callMeans)},
	{"call size entry door", ofKind(EntryDoor, callMeans)},
	{"call size overhead door", ofKind(OverheadDoor, callMeans)},
	{"joint between units", length(func(j *Job) *measure.Length { return &j.MullJoint })},
	{"flange window", ofKind(Window, flanges)},
	{"flange patio door", ofKind(PatioDoor, flanges)},
	{"flange entry door", ofKind(EntryDoor, flanges)},
	{"sits on window", ofKind(Window, sitsOn)},
	{"sits on patio door", ofKind(PatioDoor, sitsOn)},
	{"sits on entry door", ofKind(EntryDoor, sitsOn)},
	{"sits on overhead door", ofKind(OverheadDoor, sitsOn)},
	{"depth window", depth(Window)},
	{"depth patio door", depth(PatioDoor)},
	{"depth entry door", depth(EntryDoor)},
	{"pan window", ofKind(Window, pans)},
	{"pan patio door", ofKind(PatioDoor, pans)},
	{"pan entry door", ofKind(EntryDoor, pans)},
	{"pan slope", rate(func(j *Job) *measure.Rate { return &j.PanSlope })},
	{"pan hem", length(func(j *Job) *measure.Length { return &j.PanHem })},
	{"pan front leg", length(func(j *Job) *measure.Length { return &j.PanFront })},
	{"pan back leg", length(func(j *Job) *measure.Length { return &j.PanBack })},
	{"pan end dam", length(func(j *Job) *measure.Length { return &j.PanEndDam })},
	{"longest bend", length(func(j *Job) *measure.Length { return &j.LongestBend })},
	{"sealed lap", length(func(j *Job) *measure.Length { return &j.SealedLap })},
	{"face lap", length(func(j *Job) *measure.Length { return &j.FaceLap })},
	{"strip lap", length(func(j *Job) *measure.Length { return &j.StripLap })},
	{"flange width", length(func(j *Job) *measure.Length { return &j.FlangeWidth })},
	{"least joint", length(func(j *Job) *measure.Length { return &j.LeastJoint })},
	role("strip wall"), role("strip sill"), role("strip door"), role("strip cap"),
	role("bead bedding"), role("bead trim"), role("foam"),
	{"head flashing", func(j *Job, s string) error {
		if strings.EqualFold(s, "yes") {
			j.Waiver = ""
			return nil
		}
		if !strings.ContainsFunc(s, unicode.IsDigit) || !strings.ContainsFunc(s, unicode.IsLetter) {
			return &measure.FormError{What: fmt.Sprintf("%q names no clause of a code", s), Do: "write yes, or code and clause that waive head flashing under eaves"}
		}
		j.Waiver = s
		return nil
	}},
	{"door hardware with unit", yes(func(j *Job) *bool { return &j.HardwareWithUnit })},
	trimBoard("trim window", layoutOf, Window),
	trimBoard("trim entry door", layoutOf, EntryDoor),
	trimBoard("trim patio door", layoutOf, PatioDoor),
	trimBoard("trim overhead door", layoutOf, OverheadDoor),
	trimBoard("head board window", headOf, Window),
	trimBoard("leg board window", legOf, Window),
	trimBoard("bottom board window", bottomOf, Window),
	trimBoard("mull board window", mullOf, Window),
	trimBoard("head board door", headOf, EntryDoor, PatioDoor),
	trimBoard("leg board door", legOf, EntryDoor, PatioDoor),
	trimBoard("mull board door", mullOf, EntryDoor, PatioDoor),
	trimBoard("head board overhead door", headOf, OverheadDoor),
	trimBoard("leg board overhead door", legOf, OverheadDoor),
	{"measuring allowance", length(func(j *Job) *measure.Length { return &j.MeasuringAllowance })},
	{"assumed leg drop", length(func(j *Job) *measure.Length { return &j.AssumedDrop })},
	{"trim gap", length(func(j *Job) *measure.Length { return &j.Gap })},
	{"head overhang", length(func(j *Job) *measure.Length { return &j.Overhang })},
	{"sill horn", length(func(j *Job) *measure.Length { return &j.Horn })},
	{"framing beside opening", length(func(j *Job) *measure.Length { return &j.BesideOpening })},
	{"framing below opening", length(func(j *Job) *measure.Length { return &j.BelowOpening })},
	legClearance(OnWood), legClearance(OnSlab), legClearance(OnMasonry),
	{"largest frame width", length(func(j *Job) *measure.Length { return &j.LargestFrame.W })},
	{"largest frame height", length(func(j *Job) *measure.Length { return &j.LargestFrame.H })},
	{"penetration", length(func(j *Job) *measure.Length { return &j.Penetration })},
	{"kerf", length(func(j *Job) *measure.Length { return &j.Kerf })},
	{"squaring", length(func(j *Job) *measure.Length { return &j.Squaring })},
	{"shortest joined piece", length(func(j *Job) *measure.Length { return &j.ShortestJoined })},
	{"least part", length(func(j *Job) *measure.Length { return &j.LeastPart })},
	{"useful offcut", length(func(j *Job) *measure.Length { return &j.UsefulOffcut })},
	{"spare boards", count(func(j *Job) *int64 { return &j.SpareBoards })},
	{"spare strips", count(func(j *Job) *int64 { return &j.SpareStrips })},
	allowance("sealant"), allowance("foam"), allowance("nails"), allowance("screws"),
	allowance("shims"), allowance("finish"), allowance("rod"),
	{"tax", rate(func(j *Job) *measure.Rate { return &j.Tax })},
	{"tax units", yes(func(j *Job) *bool { return &j.TaxUnits })},
	{"tax delivery", yes(func(j *Job) *bool { return &j.TaxDelivery })},
	{"tax basis", func(j *Job, s string) error { j.TaxByItem = s == "item"; return nil }},
	{"least saving", money(func(j *Job) *Maybe[measure.Money] { return &j.LeastSaving })},
	{"crew rate", money(func(j *Job) *Maybe[measure.Money] { return &j.CrewRate })},
	{"overhead", rate(func(j *Job) *measure.Rate { return &j.Overhead })},
	{"contingency", rate(func(j *Job) *measure.Rate { return &j.Contingency })},
	{"profit", rate(func(j *Job) *measure.Rate { return &j.Profit })},
	{"profit is", func(j *Job, s string) error { j.Margin = s == "margin"; return nil }},
	{"price age", count(func(j *Job) *int64 { return &j.PriceAgeDays })},
}

// SettingKeys returns the keys of the Job sheet that a Job is filled from.
func SettingKeys() []string {
	keys := make([]string, len(binds))
	for i, b := range binds {
		keys[i] = b.key
	}
	return keys
}

// Bare returns the unit of a number written without one.
func (j *Job) Bare() measure.Unit {
	if j.MM {
		return measure.Millimetres
	}
	return measure.Inches
}

// NewJob fills a job from the lines of its Job sheet. Lines whose key is not
// known are left to the reader, which knows the nearest one; what a value
// should be and is not becomes a problem at its cell, and the default holds.
// The shipped defaults are lengths in inches whatever "units" says.
func NewJob(settings []Setting, items Items) (Job, []Problem) {
	j := Job{
		Clearance: map[Kind]Size{}, CallMeans: map[Kind]CallMeaning{}, Depth: map[Kind]measure.Length{},
		Pan: map[Kind]Pan{}, Flange: map[Kind]Flange{}, SitsOn: map[Kind]SitsOn{}, Role: map[string]string{}, Trim: map[Kind]TrimSet{},
		LegClearance: map[SitsOn]measure.Length{}, Allowance: map[string]measure.Rate{}, VisitDate: map[Visit]measure.Date{},
	}
	byKey := map[string]Setting{}
	for _, s := range settings {
		byKey[s.Key] = s
	}
	var problems []Problem
	for _, b := range binds {
		s := byKey[b.key]
		if s.Default != "" {
			mm := j.MM
			j.MM = mm && b.key == "units"
			if err := b.set(&j, s.Default); err != nil {
				problems = append(problems, Problem{s.Place, Error, fmt.Sprintf("default of %s: %v", s.Key, err), ""})
			}
			j.MM = j.MM || mm
		}
		if s.Text == "" {
			continue
		}
		if err := s.check(items); err != nil {
			problems = append(problems, formProblem(s.Place, s.Key, err))
			continue
		}
		if err := b.set(&j, s.Text); err != nil {
			problems = append(problems, formProblem(s.Place, s.Key, err))
		}
	}
	if j.Tax > mostTax {
		problems = append(problems, Problem{byKey["tax"].Place, Warning, fmt.Sprintf("a sales tax of %s is unusual", j.Tax), "write 6 for 6 %"})
	}
	return j, problems
}

// mostTax is the highest sales tax that is believed.
const mostTax measure.Rate = 250_000

// check holds a value against the words its unit allows.
func (s Setting) check(items Items) error {
	_, item := items.Get(s.Text)
	words := s.Words()
	switch {
	case s.Unit == UnitItem && !item:
		return &measure.FormError{What: fmt.Sprintf("%q is not an item", s.Text), Do: "write a key of the Items sheet"}
	case len(words) > 0 && !slices.Contains(words, s.Text):
		return &measure.FormError{What: fmt.Sprintf("%q is not one of its words", s.Text), Do: "write " + strings.Join(words, ", ")}
	}
	return nil
}

// formProblem places what a parser said.
func formProblem(at Place, name string, err error) Problem {
	if f, ok := err.(*measure.FormError); ok {
		return Problem{at, Error, name + " " + f.What, f.Do}
	}
	return Problem{at, Error, name + ": " + err.Error(), ""}
}
