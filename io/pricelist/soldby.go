package pricelist

import (
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// The column unit says what a price is for: for one pack, by a word for packs, or for a
// measure, which the content then turns into the price of a pack:
//
//	price of a pack = price × content / measure
//
// A word that is neither is refused, for a price of one foot must not buy a board.

// packKind is words for a pack, and what a pack that is called so holds beside a count.
type packKind struct {
	words     []string
	fits      []measure.Quantity
	one, many bool // of a count: a single piece, several pieces
}

var anything = []measure.Quantity{measure.ByLength, measure.ByArea, measure.ByVolume, measure.ByWeight}

// packKinds are the words for packs.
var packKinds = []packKind{
	{words: []string{"each", "ea", "pc", "pcs", "pce", "piece", "item", "unit", "no", "nr", "one", "1"}, fits: anything, one: true},
	{words: []string{"board", "brd", "plank", "stick", "stk", "length", "len", "lgth", "bar", "rod", "rail", "strip"},
		fits: []measure.Quantity{measure.ByLength, measure.ByArea}, one: true},
	{words: []string{"sheet", "sht", "panel"}, fits: []measure.Quantity{measure.ByLength, measure.ByArea}, one: true},
	{words: []string{"roll", "rl", "coil", "spool", "reel"}, fits: []measure.Quantity{measure.ByLength, measure.ByArea, measure.ByWeight}},
	{words: []string{"tube", "tb", "cartridge", "ctg", "sausage", "bottle", "btl", "bot"},
		fits: []measure.Quantity{measure.ByVolume, measure.ByWeight}, one: true},
	{words: []string{"can", "tin", "canister", "pail", "bucket", "bkt", "tub", "jar", "jug", "drum"},
		fits: []measure.Quantity{measure.ByVolume, measure.ByWeight}},
	{words: []string{"box", "bx", "pack", "pk", "pkg", "pkt", "pac", "package", "packet", "bag", "bg", "sack", "kit", "kt", "set", "assembly"}, fits: anything},
	{words: []string{"carton", "ctn", "case", "cs", "bundle", "bdl", "pallet", "skid", "bunk"},
		fits: []measure.Quantity{measure.ByArea, measure.ByWeight}, many: true},
}

// measures are measures of prices that are no unit of content, as contents.
//
// Source: common practice: C is a hundred, M a thousand, a square a hundred square feet
var measures = map[string]string{
	"c": "100 each", "hundred": "100 each", "hd": "100 each", "hu": "100 each", "m": "1000 each", "thousand": "1000 each", "th": "1000 each",
	"dozen": "12 each", "doz": "12 each", "dz": "12 each", "gross": "144 each", "pair": "2 each", "pr": "2 each",
	"clf": "100 ft", "cft": "100 ft", "mlf": "1000 ft", "mft": "1000 ft", "csf": "100 ft2", "msf": "1000 ft2", "sq": "100 ft2", "square": "100 ft2",
	"cwt": "100 lb", "ton": "2000 lb",
}

// boardFeet are words for measures of a board's nominal size, which no price list says.
var boardFeet = []string{"bf", "bd ft", "bdft", "board ft", "board foot", "board feet", "fbm", "mbf", "m bf", "mbft", "mbm", "mfbm", "m bd ft", "m board ft",
	"m board feet", "thousand board feet", "1000 bf", "1000 board feet"}

// noUnit is what people write where there is no unit.
var noUnit = []string{"", "-", "--", "---", "–", "—", "n/a"}

// What may stand in the column unit, for messages.
const (
	packAdvice = "write each, piece, board, roll, tube, can, box, pack, bag or carton where the price is that of the content"
	allAdvice  = packAdvice + "; LF, SF, lb, gal, dozen, C (per 100) or M (per 1000) where it is by that measure; or leave it blank for the price of the content"
	oneAdvice  = "write the price of one pack, and each, board, box or the like as its unit"
)

// packWord returns the kind of a word for packs, in the spelling of unitWord.
func packWord(word string) (packKind, bool) {
	i := slices.IndexFunc(packKinds, func(k packKind) bool {
		return slices.ContainsFunc(k.words, func(w string) bool { return word == w || word == w+"s" || word == w+"es" })
	})
	if i < 0 {
		return packKind{}, false
	}
	return packKinds[i], true
}

// holds reports whether a pack of the kind may hold a content.
func (k packKind) holds(c measure.Content) bool {
	if c.Unit.Of != measure.ByCount {
		return slices.Contains(k.fits, c.Unit.Of)
	}
	several := c.Number.Cmp(one) > 0
	return !(several && k.one || !several && k.many)
}

// The marks of plurals and of money; the full stops, dashes and strokes of words, and not
// those of a number.
var (
	notOfUnits = strings.NewReplacer("(s)", "", "(es)", "", "$", " ")
	stopForm   = regexp.MustCompile(`\.(\D|$)`)
	strokeForm = regexp.MustCompile(`(^|\D)[-/]`)
)

// unitWord folds what stands in the column unit: lower case, one space between words, no
// full stop, and nothing of "price per", "$/" or "1" before it.
func unitWord(text string) string {
	text = notOfUnits.Replace(strings.ToLower(text))
	words := strings.Fields(strokeForm.ReplaceAllString(stopForm.ReplaceAllString(text, "$1"), "$1 "))
	before := []string{"price", "priced", "sold", "cost", "per", "by", "the", "a", "an", "1"}
	for len(words) > 1 && slices.Contains(before, words[0]) && (words[0] != "1" || !strings.ContainsAny(words[1][:1], digits)) {
		words = words[1:]
	}
	return strings.Join(words, " ")
}

const digits = ".,0123456789"

// measureOf returns the measure that a word in the spelling of unitWord stands for.
func measureOf(word string) (measure.Content, bool) {
	text, known := measures[word]
	if !known && len(word) > 3 {
		text, known = measures[strings.TrimSuffix(word, "s")]
	}
	number, unit, several := strings.Cut(word, " ")
	times, counted := measures[number]
	switch {
	case known:
	case several && counted && strings.HasSuffix(times, " each"): // M LF, hundred feet
		text = strings.TrimSuffix(times, "each") + unit
	case strings.Trim(word, digits) == "":
		text = word + " each"
	case strings.ContainsAny(word[:1], digits):
		text = word
	default:
		text = "1 " + word
	}
	c, err := measure.ParseContent(text, "")
	single := c.Unit.Of == measure.ByCount && err == nil && c.Base().Cmp(one) <= 0
	return c, err == nil && c.Base().Sign() > 0 && !single
}

// byMany reports whether a unit prices by more than one of what is counted.
func byMany(text string) bool {
	word := unitWord(text)
	of, known := measureOf(word)
	return slices.Contains(boardFeet, word) || known && of.Number.Cmp(one) > 0
}

// sale is what a row asks for one pack, however it is written.
type sale struct {
	price    measure.UnitPrice
	unit     string // of the pack
	packs    *big.Rat
	measured bool // the price is written by a measure; packs is how many of it a pack holds
	rounded  bool // the price of a pack has more decimals than a unit price holds
}

// perPack returns what one pack costs at a price that the column unit, or else the header
// of the prices, may give by a measure. It reports false when unit and content do not fit,
// which is said at the unit.
func (c *checker) perPack(p measure.UnitPrice, text, held string) (sale, bool) {
	as := sale{price: p, unit: text}
	header, headed := c.list.table.Header[price].Word(), c.list.table.HeaderUnit(price)
	if slices.Contains(noUnit, strings.ToLower(text)) {
		text = headed
	}
	in, err := measure.ParseContent(held, "")
	if text == "" || err != nil {
		return as, err == nil // else it is said at the content
	}
	refuse := func(what, do string) (sale, bool) {
		c.say(unit, estimate.Error, fmt.Sprintf("unit %q %s", text, what), do)
		return sale{price: p, unit: text}, false
	}
	word := unitWord(text)
	metric := slices.Contains([]string{"mm", "cm", "m"}, in.Unit.Name)
	if word == "m" && metric && !strings.Contains(text, "M") {
		word = "meter"
	}
	kind, isPack := packWord(word)
	of, isMeasure := measure.Content{}, false
	if !isPack {
		of, isMeasure = measureOf(word)
	}
	switch {
	case headed != "" && !(isMeasure && sameUnit(of, headed)):
		return refuse(fmt.Sprintf("does not go with the header %q, which prices by %s", header, headed),
			"head the column price, and say under unit what each price is for")
	case isPack && !kind.holds(in):
		return refuse(fmt.Sprintf("does not go with the content %q: is the price that of all it says?", held),
			"write pack where it is; else write the content of one, and each")
	case isPack:
		return as, true
	case slices.Contains(boardFeet, word):
		return refuse("prices by the nominal size of a board, which the content does not say", oneAdvice)
	case word == "m" && in.Unit.Of == measure.ByLength:
		return refuse("may be a thousand or a meter", "write MLF for 1000 feet, meter for one meter; or "+oneAdvice)
	case !isMeasure:
		return refuse("is not known"+nearUnit(word)+"; the price may be that of a pack or of a measure", allAdvice)
	case of.Unit.Of != in.Unit.Of:
		return refuse(fmt.Sprintf("prices by %s, but the content %q is %s", of.Unit.Of, held, in.Unit.Of.WithArticle()), oneAdvice)
	}
	as.packs = new(big.Rat).Quo(in.Base(), of.Base())
	if as.packs.Cmp(one) == 0 {
		return as, true
	}
	if strings.HasSuffix(sheet.FoldHeader(header), "each") {
		return refuse(fmt.Sprintf("does not go with the header %q: is the price that of one pack, or by the unit?", header),
			"head the column price where it is by the unit; else "+oneAdvice)
	}
	as.measured, as.unit = true, packFor(in)
	as.price, as.rounded = rounded(new(big.Rat).Mul(big.NewRat(int64(p), 1), as.packs))
	if as.price <= 0 || as.price > maxPackPrice {
		return refuse(fmt.Sprintf("makes %s no price for %q", p, held), "check the price, the unit and the content")
	}
	return as, true
}

// sameUnit reports whether a measure counts in the unit that a header states.
func sameUnit(of measure.Content, headed string) bool {
	stated, _ := measureOf(headed)
	return of.Unit == stated.Unit
}

// one is a single piece, or one measure to a pack.
var one = big.NewRat(1, 1)

// maxPackPrice is above what any pack costs: ten million.
const maxPackPrice measure.UnitPrice = 10_000_000_0000

// packFor is what a pack of a content is called whose price was written by a measure.
func packFor(in measure.Content) string {
	if in.Unit.Of == measure.ByLength || in.Unit.Of == measure.ByCount && in.Number.Cmp(one) <= 0 {
		return "each"
	}
	return "pack"
}

// nearUnit asks for the word that a mistyped one probably is.
func nearUnit(word string) string {
	var known []string
	for _, k := range packKinds {
		known = append(known, k.words...)
	}
	near, ok := sheet.Nearest(word, known)
	if !ok || len(near) <= 3 {
		return ""
	}
	return fmt.Sprintf(" (%s?)", near)
}

// rounded returns a price to the hundredth of a cent, half up, and whether that changed it.
func rounded(exact *big.Rat) (measure.UnitPrice, bool) {
	twice := new(big.Int).Add(new(big.Int).Lsh(exact.Num(), 1), exact.Denom())
	n := twice.Quo(twice, new(big.Int).Lsh(exact.Denom(), 1))
	if !n.IsInt64() {
		return maxPackPrice + 1, true
	}
	return measure.UnitPrice(n.Int64()), !exact.IsInt()
}

// AsPacks types offers whose list prices them by a measure into its sheet as an estimate
// holds them, so that what was typed into the estimate can be typed there.
func AsPacks(s *sheet.Sheet, offers []pricing.Offer) {
	e := sheet.NewEditor(s, Columns())
	for _, o := range offers {
		if !o.ByMeasure || o.Place.File != s.File || o.Place.Sheet != s.Name {
			continue
		}
		put := func(key string, c sheet.Cell) {
			before, _ := e.Cell(o.Place.Row, key)
			c.Place = before.Place
			e.Put(o.Place.Row, key, c)
		}
		each := float64(o.Price) / 10_000
		put(price, sheet.Cell{Kind: sheet.Number, Number: each, Text: strconv.FormatFloat(each, 'f', -1, 64)})
		put(unit, sheet.Cell{Kind: sheet.Text, Text: o.Unit})
		if o.Currency != "" {
			put(currency, sheet.Cell{Kind: sheet.Text, Text: o.Currency})
		}
	}
}

// conversion is a price by a measure that became that of a pack.
type conversion struct {
	cell          sheet.Cell // of the unit
	word, content string
	from, to      measure.UnitPrice
	rounded       bool
}

// convertedNote says once what prices were by a measure, and what they became.
func convertedNote(all []conversion) []estimate.Problem {
	if len(all) == 0 {
		return nil
	}
	first, count, cut := map[string]conversion{}, map[string]int{}, 0
	var words []string
	for _, x := range all {
		word := strings.ToLower(x.word)
		if count[word]++; count[word] == 1 {
			first[word], words = x, append(words, word)
		}
		if x.rounded {
			cut++
		}
	}
	var parts []string
	for _, word := range words {
		x := first[word]
		parts = append(parts, fmt.Sprintf("%d by %s, such as %s, which is %s for %s", count[word], measure.Quote(x.word), x.from, x.to, measure.Quote(x.content)))
	}
	what := fmt.Sprintf("prices by a measure are turned into that of the content: %s", some(parts))
	if cut > 0 {
		what += fmt.Sprintf("; %d rounded to a hundredth of a cent", cut)
	}
	return []estimate.Problem{all[0].cell.Problem(estimate.Note, what, "")}
}
