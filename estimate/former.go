package estimate

import "strings"

// What earlier versions of the program wrote for the words of the trade. A
// schedule, an estimate or a price list that has them is read as if it had the
// words of now; nothing is said about it.

// Former are words that were used, in lower case, each with the one used now.
type Former map[string]string

// Now returns the word used now for a former one, and any other as it is.
func (f Former) Now(word string) string {
	if now, ok := f[strings.ToLower(strings.TrimSpace(word))]; ok {
		return now
	}
	return word
}

// Was returns the former word of one used now, and any other as it is.
func (f Former) Was(word string) string {
	for was, now := range f {
		if now == word {
			return was
		}
	}
	return word
}

// FormerSettings are keys of the sheet Job; some are roles of details too.
var FormerSettings = formerSettings()

func formerSettings() Former {
	f := Former{
		"date set": "install date", "date shop": "shop date", "date trim": "trim date",
		"wall face": "WRB", "prime for strip": "prime for tape", "joint between units": "mull",
		"depth window": "jamb depth window", "depth patio door": "jamb depth patio door", "depth entry door": "jamb depth entry door",
		"longest bend": "brake length", "strip lap": "tape lap",
		"strip wall": "tape wall", "strip sill": "tape sill", "strip door": "tape door", "strip cap": "tape cap",
		"measuring allowance": "extra length, unmeasured trim", "trim gap": "caulk joint", "penetration": "nail penetration",
		"squaring": "end trim", "shortest joined piece": "shortest piece to splice", "least part": "shortest splice piece",
		"useful offcut": "shortest offcut to keep", "spare strips": "spare tape", "least saving": "minimum saving to add a supplier",
		"crew rate": "labor rate", "least joint": "minimum joint",
	}
	for _, key := range SettingKeys() {
		if name, ok := strings.CutPrefix(key, WastePrefix); ok {
			f["allowance "+name] = key
		}
		if board, of, ok := strings.Cut(key, " casing "); ok {
			f[board+" board "+of] = key
		}
	}
	return f
}

// FormerItems are keys of items.
var FormerItems = Former{
	"strip-4": "tape-4", "strip-6": "tape-6", "strip-9": "tape-9", "strip-6-forming": "tape-6-flexible", "strip-9-forming": "tape-9-flexible",
	"coil-24": "trim-coil-24", "pan-cement": "pvc-cement", "strip-primer": "tape-primer", "levelling": "leveling",
}

// FormerFamilies and FormerClasses are what items were sorted by.
var (
	FormerFamilies = Former{"wall strip": "flashing tape", "forming strip": "flexible flashing tape"}
	FormerClasses  = Former{"strip": ClassTape}
)

// FormerDetails are names of details that shipped.
var FormerDetails = Former{"window attached nailed": "window applied", "window attached locating": "window applied locating"}

// FormerTasks are tasks of the sheet Labor that shipped.
var FormerTasks = Former{"set pan and strips": "Set pan and flashing", "set strips and jambs": "Set flashing and jambs"}

// FormerPhases are words of the column Phase.
var FormerPhases = Former{"set": string(PhaseInstall)}

// FormerColumns are headers of the sheet Openings.
var FormerColumns = Former{
	"supplied by": "Furnished by", "storey": "Story", "drop outside": "Height above grade", "unit depth": "Jamb depth", "units": "Mulled units",
}

// FormerWords are words of closed columns and of facts, by the fact.
var FormerWords = map[string]Former{
	"flange": {"attached nailed": string(FlangeApplied), "attached locating": string(FlangeLocatingOnly), "casing": string(FlangeBrickmould)},
	"pan":    {"formed": string(PanMetal), "strip": string(PanFlexible)},
	"layout": {"mitred": "mitered"},
	"WRB":    {"wrap": string(WRBHousewrap), "faced": string(WRBIntegral)},
}

// formerFacts are facts of conditions, formerRules names of rules.
var (
	formerFacts = Former{
		"supplied by": "furnished by", "storey": "story", "face": "WRB", "wall face": "WRB", "strip forms": "tape flexible", "prime for strip": "prime for tape",
		"joined": "mulled", "units": "mulled units",
	}
	formerRules = Former{"strip": "tape", "pan formed": "pan metal", "piece mitres": "piece miters", "levelling": "leveling"}
)

// ItemNow returns what a name of an item in a detail is called now: a key, a
// family or a role.
func ItemNow(name string) string {
	for _, f := range []Former{FormerItems, FormerFamilies} {
		if now := f.Now(name); now != name {
			return now
		}
	}
	if now := FormerSettings.Now(name); strings.HasPrefix(now, "tape ") {
		return now // a role
	}
	return name
}

// StepNow puts the words used now for the former ones of a row of the sheet
// Details.
func StepNow(fields map[string]string) {
	for column, now := range map[string]func(string) string{
		"Detail": FormerDetails.Now, "Item": ItemNow, "Rule": formerRules.Now, "Phase": FormerPhases.Now, "When": ConditionNow,
	} {
		if was, ok := fields[column]; ok {
			fields[column] = now(was)
		}
	}
}

// ConditionNow returns a condition with the facts and words used now.
func ConditionNow(s string) string {
	terms := strings.Split(s, " and ")
	for i, t := range terms {
		fact, op, rest, ok := cutTerm(t)
		if !ok {
			continue
		}
		fact = formerFacts.Now(fact)
		words := strings.Split(rest, ",")
		for k, w := range words {
			if now := FormerWords[fact].Now(w); now != w {
				words[k] = " " + now
			}
		}
		terms[i] = fact + " " + string(op) + " " + strings.TrimSpace(strings.Join(words, ","))
	}
	return strings.Join(terms, " and ")
}
