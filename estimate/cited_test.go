package estimate_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

// What several tests cite, as the sheets name it: publisher and title. Makers
// are not named.
const (
	aama2400 = "American Architectural Manufacturers Association, AAMA 2400-10, "
	aamaEnds = "from memory, American Architectural Manufacturers Association, AAMA 2400: "
	bedding  = "Building Science Corporation, RR-0407, step 7: "

	code          = "International Residential Code, "
	federal       = "US Code of Federal Regulations, "
	handbook44    = "National Institute of Standards and Technology, Handbook 44, appendix C: "
	ontario       = "Ontario Building Code, "
	orangeCounty  = "Orange County, North Carolina, 07 92 00, item D.2: "
	orangeCounty2 = "Orange County, North Carolina, table of 2016: "

	navy14044 = "US Navy training manual NAVEDTRA 14044, p. 6-17, on interior casing: "
	army0069A = "US Army course EN0069A, para. 4-9: "

	flashedWindow = `Journal of Light Construction, "Flashing a Window: New Construction": `
	flangedWindow = `Journal of Light Construction, "Flashing a Flanged Window": `
	doorShims     = `Journal of Light Construction, "Q&A: Do Door Jambs Need Shims?": `
	trimGaps      = `Journal of Light Construction, "Preventing Gaps in Exterior Trim": `
	panMistakes   = `Journal of Light Construction, "3 Common Sill Pan Mistakes": `
	leakFree      = `Fine Homebuilding, "Leak-Free Windows Series: Sill Pan", 2013: `
	threeBeads    = "protradecraft.com, video 55181267, 2019: "
	airSealing    = `US Department of Energy, "Air Sealing Window and Door Rough Openings": `
	metalLaps     = "New Zealand Metal Roof and Wall Cladding Code of Practice: "
	overheadPans  = "Door and Access Systems Manufacturers Association, technical data sheet 197: "

	panKit      = `cycookery.com, "Measure for Door Sill Pan": `
	glassTables = `whatthingsweigh.com, "How Much Does Glass Weigh?": `
	windowSizes = `hunker.com, "How to Understand Wood Window Sizes": `
	planSizes   = `greathousedesign.com, "What Do the Window and Door Sizes Represent?": `
	capEnds     = "awdi.com, Manual20, page 23: "
	levelSill   = "silltosash.com (page not on record): "

	measurePage    = "a replacement-window measure page (publisher not on record): "
	installers     = "installers' pages (publisher not on record): "
	dimensionGuide = "a maker's window dimension guide (makers are not named here): "
	doorSheet      = "a maker's pre-hung door sheet (makers are not named here): "
	doorWarranty   = "a maker's door warranty (makers are not named here): "
	trimGuide      = "a maker's trim board guide (makers are not named here): "
	rodNote        = "a maker's rod note (makers are not named here): "
)

// publishers are those that sources name, beside the domains of web pages.
var publishers = regexp.MustCompile(`\b(` + strings.Join([]string{
	"American Architectural Manufacturers Association", "ASTM International", "Building Science Corporation", "CSA Group",
	"Door and Access Systems Manufacturers Association", "Fine Homebuilding", "Florida Building Code", "International Residential Code",
	"Journal of Light Construction", "National Institute for Occupational Safety and Health", "National Institute of Standards and Technology",
	"Naval Facilities Engineering Command", "Ontario Building Code", "Orange County, North Carolina", "Rhode Island General Laws",
	"Unified Facilities Guide Specifications", "US Army", "US Bureau of Labor Statistics", "US Code of Federal Regulations",
	"US Department of Commerce", "US Department of Energy", "US Navy", `[a-z0-9]+\.(com|net|nz|org|ru|us)`, `[a-z]+\.org\.nz`,
}, "|") + `)\b`)

// unnamed are the two ways to say that a source has no name here.
var unnamed = regexp.MustCompile(`\ba maker's [a-z -]+ \(makers are not named here\)|[a-z' -]+ \(publisher not on record\)`)

var (
	titles   = regexp.MustCompile(`"[^"]*"`)
	capitals = regexp.MustCompile(`\b[A-Z]{3,}\b`)
)

// kinds are words for a kind of source, which name none.
var kinds = regexp.MustCompile(`(?i)\b(magazine|trade article|photo sequence|textbook|finish carpenter|demonstration|sellers' notes|weight tables|` +
	`(trade|training|measure|web|workshop|woodworking|reference|installers'|several) pages?|education site|renovation texts|(association|sheet-metal) manuals?|` +
	`(door|installation|contractor) sheets?|(dimension|trim board|maker's) guide|guide specification|` +
	`maker's (note|page|sheet|instruction|warranty)|installer's)\b`)

// initials are what may stand for an organization once its name is written out
// beside them.
var initials = map[string]string{
	"AAMA": "American Architectural Manufacturers Association", "ASTM": "ASTM International", "CFR": "Code of Federal Regulations", "CSA": "CSA Group",
	"NAVEDTRA": "US Navy", "NISTIR": "National Institute of Standards and Technology", "UNIFORMAT": "National Institute of Standards and Technology",
}

// misnamed says why a reader cannot find a source, or takes it for firmer than
// it is; "" = named by publisher, or said to be unnamed.
func misnamed(basis, source string) string {
	isUnnamed := strings.Contains(source, "not named here") || strings.Contains(source, "not on record")
	named := publishers.MatchString(source)
	outside := titles.ReplaceAllString(unnamed.ReplaceAllString(source, ""), "")
	if kind := kinds.FindString(outside); kind != "" {
		return "only a kind of source: " + kind
	}
	for _, word := range capitals.FindAllString(outside, -1) {
		if full := initials[word]; full == "" || !strings.Contains(source, full) {
			return "initials: " + word
		}
	}
	switch {
	case basis == estimate.Published && isUnnamed:
		return "published, but nobody can find it"
	case basis == estimate.Published && !named, basis == estimate.Excerpt && !named && !isUnnamed:
		return "no publisher"
	}
	return ""
}

// TestSourcesAreNamed: a reader finds each source by publisher and title, or is
// told that he cannot, and then it is not called published.
func TestSourcesAreNamed(t *testing.T) {
	for _, s := range estimate.Sources {
		assert.Empty(t, misnamed(s.Basis, s.Source), "%s: %s", s.Name, s.Source)
	}
	for _, table := range []string{"settings.csv", "items.csv", "labor.csv", "details.csv"} {
		for _, r := range shippedRows(t, table) {
			basis, source := r["basis"]+r["Basis"], r["source"]+r["Source"]
			assert.Empty(t, misnamed(basis, source), "%s, %s%s%s: %s", table, r["key"], r["task"], r["Do"], source)
		}
	}
	for _, c := range []struct{ basis, source string }{
		{estimate.Published, "trade magazine, 2015"},
		{estimate.RuleOfThumb, "finish carpenter in a trade magazine; head: common practice"},
		{estimate.RuleOfThumb, "woodworking pages; thread: common practice"},
		{estimate.RuleOfThumb, "replacement-window measure page: three readings within 1/8 in"},
		{estimate.FromMemory, "sizes of one pan, as on a trade page"},
		{estimate.Excerpt, "window dimension guide"},
		{estimate.Excerpt, "backer rod maker's note"},
		{estimate.Excerpt, "deep energy retrofit training page"},
		{estimate.Excerpt, "a page that nobody named"},
		{estimate.Published, "a page that nobody named"},
		{estimate.Published, "a maker's rod note (makers are not named here)"},
		{estimate.Published, "a trade page (publisher not on record)"},
		{estimate.FromMemory, "NIST Handbook 44"},
		{estimate.Excerpt, "Ontario Building Code and IRC, R703.2"},
	} {
		assert.NotEmpty(t, misnamed(c.basis, c.source), c.source)
	}
}
