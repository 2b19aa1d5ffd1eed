package estimate

import (
	"cmp"
	"fmt"
	"slices"
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
	Basis   string // standing of the source, one of Bases
	Source  string
	// Least and Most are the range of the value, lengths in inches; "" = it has none.
	Least, Most string
}

// The units of settings that are more than whole numbers.
const (
	UnitText    = "text"
	UnitLength  = "length"
	UnitPercent = "percent"
	UnitMoney   = "money"
	UnitDate    = "date"
	UnitItem    = "item"           // a key of the Items sheet
	UnitFamily  = "item or family" // a key of the Items sheet, or a family: the rule takes the member that serves best
	UnitLayout  = "layout"         // a trim layout, or NoTrim
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

// check holds a value against the words its unit allows.
func (s Setting) check(items Items) error {
	_, item := items.Get(s.Text)
	words := s.Words()
	switch {
	case s.Unit == UnitFamily && !item && len(items.Family(s.Text)) == 0:
		return &measure.FormError{What: fmt.Sprintf("%q is neither an item nor a family", s.Text), Do: "write a key or a family of the Items sheet"}
	case s.Unit == UnitItem && !item:
		return &measure.FormError{What: fmt.Sprintf("%q is not an item", s.Text), Do: "write a key of the Items sheet"}
	case len(words) > 0 && !slices.Contains(words, s.Text):
		return &measure.FormError{What: fmt.Sprintf("%q is not one of its words", s.Text), Do: "write " + strings.Join(words, ", ")}
	}
	return nil
}

// binds is the whole Job sheet. "units" comes first: it decides what a bare
// number on the other lines means.
var binds = []bind{
	{"units", func(j *Job, s string) error { j.MM = s == "mm"; return nil }},
	{"job number", text(func(j *Job) *string { return &j.Number })},
	{"job name", text(func(j *Job) *string { return &j.Name })},
	{"job date", date(func(j *Job) *Maybe[measure.Date] { return &j.Date })},
	{"note", text(func(j *Job) *string { return &j.Note })},
	{"ship to", text(func(j *Job) *string { return &j.ShipTo })},
	phaseDate(PhaseInstall), phaseDate(PhaseShop), phaseDate(PhaseTrim), phaseDate(PhaseFinish),
	{"currency", text(func(j *Job) *string { return &j.Currency })},
	{"paper", text(func(j *Job) *string { return &j.Paper })},
	{"protect sheets", flag(func(j *Job) *bool { return &j.Protect })},
	{"year built", number(func(j *Job) *Maybe[int64] { return &j.YearBuilt })},
	{"coldest forecast", number(func(j *Job) *Maybe[int64] { return &j.ColdestF })},
	{"coldest forecast trim", number(func(j *Job) *Maybe[int64] { return &j.ColdestTrim })},
	{"coldest forecast shop", number(func(j *Job) *Maybe[int64] { return &j.ColdestShop })},
	{"cold accepted", func(j *Job, s string) (err error) { j.ColdAccepted, err = parseColdAccepted(s); return err }},
	{"stud depth", length(func(j *Job) *measure.Length { return &j.Stud })},
	{"sheathing", length(func(j *Job) *measure.Length { return &j.Sheathing })},
	{"outside insulation", length(func(j *Job) *measure.Length { return &j.Insulation })},
	{"WRB", text(func(j *Job) *WRB { return &j.WRB })},
	{"WRB plane", text(func(j *Job) *WRBPlane { return &j.WRBPlane })},
	{"jamb flashing", text(func(j *Job) *JambFlashing { return &j.JambFlashing })},
	{"prime for tape", flag(func(j *Job) *bool { return &j.PrimeForTape })},
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
	{"mull", length(func(j *Job) *measure.Length { return &j.MullJoint })},
	{"studs between", length(func(j *Job) *measure.Length { return &j.StudJoint })},
	{"widest studs between", length(func(j *Job) *measure.Length { return &j.WidestJoint })},
	{"flange window", ofKind(Window, flanges)},
	{"flange patio door", ofKind(PatioDoor, flanges)},
	{"flange entry door", ofKind(EntryDoor, flanges)},
	{"sits on window", ofKind(Window, sitsOn)},
	{"sits on patio door", ofKind(PatioDoor, sitsOn)},
	{"sits on entry door", ofKind(EntryDoor, sitsOn)},
	{"sits on overhead door", ofKind(OverheadDoor, sitsOn)},
	{"jamb depth window", depth(Window)},
	{"jamb depth patio door", depth(PatioDoor)},
	{"jamb depth entry door", depth(EntryDoor)},
	{"pan window", ofKind(Window, pans)},
	{"pan patio door", ofKind(PatioDoor, pans)},
	{"pan entry door", ofKind(EntryDoor, pans)},
	{"pan slope", rate(func(j *Job) *measure.Rate { return &j.PanSlope })},
	{"pan hem", length(func(j *Job) *measure.Length { return &j.PanHem })},
	{"pan front leg", length(func(j *Job) *measure.Length { return &j.PanFront })},
	{"pan back leg", length(func(j *Job) *measure.Length { return &j.PanBack })},
	{"pan end dam", length(func(j *Job) *measure.Length { return &j.PanEndDam })},
	{"brake length", length(func(j *Job) *measure.Length { return &j.BrakeLength })},
	{"sealed lap", length(func(j *Job) *measure.Length { return &j.SealedLap })},
	{"face lap", length(func(j *Job) *measure.Length { return &j.WRBLap })},
	{"tape lap", length(func(j *Job) *measure.Length { return &j.TapeLap })},
	{"flange width", length(func(j *Job) *measure.Length { return &j.FlangeWidth })},
	{"flange thickness", length(func(j *Job) *measure.Length { return &j.FlangeThickness })},
	{"brickmould width", length(func(j *Job) *measure.Length { return &j.Brickmould.Width })},
	{"brickmould thickness", length(func(j *Job) *measure.Length { return &j.Brickmould.Thickness })},
	{"jamb thickness", length(func(j *Job) *measure.Length { return &j.JambThickness })},
	{"hinge leaf", length(func(j *Job) *measure.Length { return &j.HingeLeaf })},
	{"minimum joint", length(func(j *Job) *measure.Length { return &j.MinJoint })},
	role("tape wall"), role("tape sill"), role("tape door"), role("tape cap"),
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
	{"door hardware with unit", flag(func(j *Job) *bool { return &j.HardwareWithUnit })},
	trimBoard("trim window", layoutOf, Window),
	trimBoard("trim entry door", layoutOf, EntryDoor),
	trimBoard("trim patio door", layoutOf, PatioDoor),
	trimBoard("trim overhead door", layoutOf, OverheadDoor),
	trimBoard("head casing window", headOf, Window),
	trimBoard("leg casing window", legOf, Window),
	trimBoard("bottom casing window", bottomOf, Window),
	trimBoard("mull casing window", mullOf, Window),
	trimBoard("head casing door", headOf, EntryDoor, PatioDoor),
	trimBoard("leg casing door", legOf, EntryDoor, PatioDoor),
	trimBoard("mull casing door", mullOf, EntryDoor, PatioDoor),
	trimBoard("head casing overhead door", headOf, OverheadDoor),
	trimBoard("leg casing overhead door", legOf, OverheadDoor),
	{"extra length, unmeasured trim", length(func(j *Job) *measure.Length { return &j.MeasuringAllowance })},
	{"assumed leg drop", length(func(j *Job) *measure.Length { return &j.AssumedDrop })},
	{"caulk joint", length(func(j *Job) *measure.Length { return &j.Gap })},
	{"head overhang", length(func(j *Job) *measure.Length { return &j.Overhang })},
	{"sill horn", length(func(j *Job) *measure.Length { return &j.Horn })},
	{"framing beside opening", length(func(j *Job) *measure.Length { return &j.BesideOpening })},
	{"framing below opening", length(func(j *Job) *measure.Length { return &j.BelowOpening })},
	legClearance(OnWood), legClearance(OnSlab), legClearance(OnMasonry),
	{"largest frame width", length(func(j *Job) *measure.Length { return &j.LargestFrame.W })},
	{"largest frame height", length(func(j *Job) *measure.Length { return &j.LargestFrame.H })},
	{"nail penetration", length(func(j *Job) *measure.Length { return &j.Penetration })},
	{"kerf", length(func(j *Job) *measure.Length { return &j.Kerf })},
	{"end trim", length(func(j *Job) *measure.Length { return &j.EndTrim })},
	{"shortest piece to splice", length(func(j *Job) *measure.Length { return &j.ShortestJoined })},
	{"shortest splice piece", length(func(j *Job) *measure.Length { return &j.MinPart })},
	{"shortest offcut to keep", length(func(j *Job) *measure.Length { return &j.UsefulOffcut })},
	{"spare boards", count(func(j *Job) *int64 { return &j.SpareBoards })},
	{"spare tape", count(func(j *Job) *int64 { return &j.SpareTape })},
	waste("sealant"), waste("foam"), waste("nails"), waste("screws"),
	waste("shims"), waste("finish"), waste("rod"),
	{"tax", rate(func(j *Job) *measure.Rate { return &j.Tax })},
	{"tax units", flag(func(j *Job) *bool { return &j.TaxUnits })},
	{"tax delivery", flag(func(j *Job) *bool { return &j.TaxDelivery })},
	{"tax basis", func(j *Job, s string) error { j.TaxByItem = s == "item"; return nil }},
	{"minimum saving to add a supplier", money(func(j *Job) *Maybe[measure.Money] { return &j.MinSaving })},
	{"openings a day", number(func(j *Job) *Maybe[int64] { return &j.OpeningsADay })},
	{"minimum saving for a second gun", money(func(j *Job) *Maybe[measure.Money] { return &j.SecondGun })},
	{"labor rate", money(func(j *Job) *Maybe[measure.Money] { return &j.LaborRate })},
	{"overhead", rate(func(j *Job) *measure.Rate { return &j.Overhead })},
	{"contingency", rate(func(j *Job) *measure.Rate { return &j.Contingency })},
	{"profit", rate(func(j *Job) *measure.Rate { return &j.Profit })},
	{"profit is", func(j *Job, s string) error { j.Margin = s == "margin"; return nil }},
	{"price age", count(func(j *Job) *int64 { return &j.PriceAgeDays })},
	{"range of material", spread(func(j *Job) *Maybe[Spread] { return &j.MaterialSpread })},
	{"range of hours", spread(func(j *Job) *Maybe[Spread] { return &j.HoursSpread })},
	{"range of prices", spread(func(j *Job) *Maybe[Spread] { return &j.PriceSpread })},
	{"firm name", text(func(j *Job) *string { return &j.Papers.Firm.Name })},
	{"firm address", text(func(j *Job) *string { return &j.Papers.Firm.Address })},
	{"firm phone", text(func(j *Job) *string { return &j.Papers.Firm.Phone })},
	{"firm email", text(func(j *Job) *string { return &j.Papers.Firm.Email })},
	{"firm license", text(func(j *Job) *string { return &j.Papers.License })},
	{"firm insurance", text(func(j *Job) *string { return &j.Papers.Insurance })},
	{"building", text(func(j *Job) *Building { return &j.Papers.Building })},
	{"lead-safe certification", text(func(j *Job) *string { return &j.Papers.LeadSafe })},
	{"lead not covered", text(func(j *Job) *string { return &j.Papers.LeadNotCovered })},
	{"customer name", text(func(j *Job) *string { return &j.Papers.Customer.Name })},
	{"customer address", text(func(j *Job) *string { return &j.Papers.Customer.Address })},
	{"customer phone", text(func(j *Job) *string { return &j.Papers.Customer.Phone })},
	{"customer email", text(func(j *Job) *string { return &j.Papers.Customer.Email })},
	{"site address", text(func(j *Job) *string { return &j.Papers.Site.Address })},
	{"site contact", text(func(j *Job) *string { return &j.Papers.Site.Contact })},
	{"site access", text(func(j *Job) *string { return &j.Papers.Site.Access })},
	{"work starts", date(func(j *Job) *Maybe[measure.Date] { return &j.Papers.Starts })},
	{"work ends", date(func(j *Job) *Maybe[measure.Date] { return &j.Papers.Ends })},
	{"bid valid until", date(func(j *Job) *Maybe[measure.Date] { return &j.Papers.ValidUntil })},
	{"payment schedule", text(func(j *Job) *string { return &j.Papers.Payments })},
	{"included", text(func(j *Job) *string { return &j.Papers.Included })},
	{"not included", text(func(j *Job) *string { return &j.Papers.NotIncluded })},
	{"allowances", text(func(j *Job) *string { return &j.Papers.Allowances })},
	{"warranty", text(func(j *Job) *string { return &j.Papers.Warranty })},
	{"debris", text(func(j *Job) *string { return &j.Papers.Debris })},
	{"permits", text(func(j *Job) *string { return &j.Papers.Permits })},
	{"hidden damage prices", text(func(j *Job) *string { return &j.Papers.HiddenDamage })},
	{"terms", text(func(j *Job) *string { return &j.Papers.Terms })},
	{"bid tax line", flag(func(j *Job) *bool { return &j.Papers.TaxLine })},
	{"bid signature lines", flag(func(j *Job) *bool { return &j.Papers.Signatures })},
	{"notice 1", text(func(j *Job) *string { return &j.Papers.Notices[0] })},
	{"notice 2", text(func(j *Job) *string { return &j.Papers.Notices[1] })},
	{"notice 3", text(func(j *Job) *string { return &j.Papers.Notices[2] })},
	{"notice 4", text(func(j *Job) *string { return &j.Papers.Notices[3] })},
}

// SettingKeys returns the keys of the Job sheet that a Job is filled from.
func SettingKeys() []string {
	keys := make([]string, len(binds))
	for i, b := range binds {
		keys[i] = b.key
	}
	return keys
}

// PaperSettings returns the keys of the lines of the Job sheet that only papers show.
func PaperSettings() []string {
	keys := SettingKeys()
	return keys[slices.Index(keys, "firm name"):]
}

// NewJob fills a job from the lines of its Job sheet. Lines whose key is not
// known are left to the reader, which knows the nearest one; what a value
// should be and is not becomes a problem at its cell, and the default holds.
// The shipped defaults are lengths in inches whatever "units" says.
func NewJob(settings []Setting, items Items) (Job, []Problem) {
	j := Job{
		Clearance: map[Kind]Size{}, CallMeans: map[Kind]CallMeaning{}, Depth: map[Kind]measure.Length{},
		Pan: map[Kind]Pan{}, Flange: map[Kind]Flange{}, SitsOn: map[Kind]SitsOn{}, Role: map[string]string{}, Trim: map[Kind]TrimSet{},
		LegClearance: map[SitsOn]measure.Length{}, Allowance: map[string]measure.Rate{}, PhaseDate: map[Phase]measure.Date{},
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
		if err := s.outOfRange(&j); err != nil {
			problems = append(problems, formProblem(s.Place, s.Key, err))
			continue
		}
		if err := b.set(&j, s.Text); err != nil {
			problems = append(problems, formProblem(s.Place, s.Key, err))
		}
	}
	for _, key := range j.ColdAccepted.Items {
		if _, known := items.Get(key); !known {
			problems = append(problems, Problem{byKey["cold accepted"].Place, Error, fmt.Sprintf("cold accepted names %q, which is no item", key),
				"write keys of the Items sheet before the colon"})
		}
	}
	if j.Tax > maxTax {
		problems = append(problems, Problem{byKey["tax"].Place, Warning, fmt.Sprintf("a sales tax of %s is unusual", j.Tax), "write 6 for 6 %"})
	}
	if what, do := InsulationCover(j.Insulation); what != "" {
		problems = append(problems, Problem{byKey["outside insulation"].Place, Warning, what, do})
	}
	return j, problems
}

// maxTax is the highest sales tax that is believed.
const maxTax measure.Rate = 250_000
