package estimate

import (
	"strconv"

	"sillwright/estimate/measure"
)

// Papers is what the papers that go out say of who works for whom, where and how: the
// firm's own words, of which none has a default. No amount follows from them.
type Papers struct {
	Firm, Customer Party
	License        string
	Insurance      string
	Building       Building
	LeadSafe       string // certification number
	LeadNotCovered string // why work with lead paint is not covered

	Site struct{ Address, Contact, Access string }

	Starts, Ends, ValidUntil Maybe[measure.Date]

	Payments, Warranty, Debris, Permits, Terms      string
	Included, NotIncluded, Allowances, HiddenDamage string // parted by ;

	TaxLine    bool // sales tax stands in a line of its own
	Signatures bool
	Notices    [4]string // word for word
}

// Building is what the work is on; "" is not stated.
type Building string

// What the work is on.
const (
	NewBuilding      Building = "new"
	ExistingBuilding Building = "existing"
)

// LeadYear is the first year of which housing is not asked for lead paint: no firm may
// offer such work in older housing without certification, by the US Code of Federal
// Regulations, 40 CFR 745.81(a)(2)(ii).
const LeadYear = 1978

// LeadOpen says what a bid lacks that asks for the firm's certification, or for why the
// work is not covered: "" where neither is asked for, or one is stated. A building that
// stands and whose year is not stated is asked about as an old one is.
func (j *Job) LeadOpen() string {
	p := &j.Papers
	old := j.YearBuilt.Set && j.YearBuilt.V < LeadYear
	unknown := !j.YearBuilt.Set && p.Building == ExistingBuilding
	switch {
	case p.LeadSafe != "" || p.LeadNotCovered != "" || !old && !unknown:
		return ""
	case old:
		return "a lead-safe certification, or why the work is not covered: built in " + strconv.FormatInt(j.YearBuilt.V, 10)
	}
	return "a lead-safe certification, or why the work is not covered: the year built is not stated"
}

// Party is a firm or a person.
type Party struct{ Name, Address, Phone, Email string }
