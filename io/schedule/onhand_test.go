package schedule

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestOnHand(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "On hand": `Item,Length,Count,Notes
board-1x4,12'-0",3,for D3
board-1x4,84-1/2,1,
board-1x44,96,1,
foam-low,96,2,
tape-9,,1,
tape-9,50 ft,,
tape-9,50 ft,0,used up
drip-cap,-3,1,
foam-low,,2,`, "Purchases": `State,Item
`})
	type line struct {
		item   string
		length measure.Length
		count  int64
	}
	var got []line
	for _, h := range s.Book.Job.OnHand {
		got = append(got, line{h.Item, h.Length, h.Count})
	}
	assert.Equal(t, []line{{"board-1x4", 144 * measure.Inch, 3}, {"board-1x4", 84*measure.Inch + measure.Inch/2, 1}}, got)
	assert.Equal(t, "for D3", s.Book.Job.OnHand[0].Notes)
	assert.Equal(t, []string{
		`job.xlsx: 'On hand'!A4: Item "board-1x44" is not known (did you mean "board-1x4"? write a key of the Items sheet)`,
		`job.xlsx: 'On hand'!B5: foam-low is bought in packs, and has no length (write what is left in one under Content, such as 10.1 fl oz, 2 lb or 140 each)`,
		`job.xlsx: 'On hand'!B6: Length is blank (write how long each is)`,
		`job.xlsx: 'On hand'!C7: Count is blank (write how many there are)`,
		`job.xlsx: 'On hand'!B9: Length "-3" is negative (write it without the minus sign)`,
		`job.xlsx: 'On hand' row 10: Content is blank (write what is left in one, such as 10.1 fl oz, 2 lb or 140 each)`,
	}, ps)
}

// What is left in packs, and a count of a day.
func TestOnHandPacks(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "On hand": `Item,Length,Count,Notes,Content,Counted
sealant-10,,2,,10.1 fl oz,2026-11-20
flange-nail,,1,opened,140 each,
flange-nail,,1,,2 tons,
board-1x4,96,2,,,11/20/2026`})
	assert.Equal(t, []string{
		`job.xlsx: 'On hand'!E4: Content "2 tons" is not a content (write 100 each or 5 lb)`,
		`job.xlsx: 'On hand'!F5: Counted "11/20/2026" is ambiguous: day and month cannot be told apart (write year-month-day, such as 2026-11-25)`,
	}, ps)
	hand := s.Book.Job.OnHand
	assert.Len(t, hand, 2)
	// Source: NIST Handbook 44, appendix C: 1 US fluid ounce is 1.8047 in3
	assert.InDelta(t, 10.1*1.8047, float64(hand[0].Amount)/float64(measure.CubicInch), 0.001)
	assert.Equal(t, "2026-11-20", hand[0].Counted.V.String())
	assert.Equal(t, int64(140), hand[1].Amount)
	assert.False(t, hand[1].Counted.Set)
}

// What the owner brings: a blank count is not stated, and a mistake leaves whose it is.
func TestOnHandByOwner(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "On hand": `Item,Length,Count,Notes,Content,Counted,Furnished by
sealant-10,,3,,10.1 fl oz,,OFCI
tape-6,,,,,,by owner
board-1x4,12 ft,many,,,,owner
board-1x6,12 ft,2,,,,us
shim,,4,,12 each,,installer
drip-cap,10 ft,0,,,,owner`})
	type line struct {
		item      string
		count     int64
		by        estimate.FurnishedBy
		notStated bool
	}
	var got []line
	for _, h := range s.Book.Job.OnHand {
		got = append(got, line{h.Item, h.Count, h.By, h.NotStated})
	}
	assert.Equal(t, []line{{"sealant-10", 3, estimate.ByOwner, false}, {"tape-6", 0, estimate.ByOwner, true}, {"board-1x4", 0, estimate.ByOwner, true},
		{"board-1x6", 2, estimate.ByBuilder, false}, {"drip-cap", 0, estimate.ByOwner, false}}, got)
	assert.Equal(t, []string{
		`job.xlsx: 'On hand'!C4: Count "many" is not a whole number (write digits only, such as 2)`,
		`job.xlsx: 'On hand'!G6: Furnished by "installer" may be builder (you buy it) or owner (he brings it) ` +
			`(write owner if none of it is yours to buy, else leave it blank)`,
	}, ps)
}
