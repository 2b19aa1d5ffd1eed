package schedule

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestPurchases(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Purchases": `Date,Supplier,Order,Invoice,State,Item,Code,Pack,Pack received,Count,Received,Returned,Lost,Price,Tax,Freight,Credit,Done before,Notes
2026-11-17,Yard A,T-1,,ordered,board-1x4,0416,16 ft,12 ft,8,,,1,23.20,,,,,
2026-11-17,Yard A,T-1,88,received,sealant-10,,10.1 fl oz,,6,5,2,,7.85,,,15.70,,
2026-11-17,Yard A,T-1,,backordered,tape-9,,75 ft,,3,1,,,38.75,,,,,
2026-11-17,Yard A,T-1,,draft,tape-4,,100 ft,,3,,,,26.13,,,,,
2026-11-17,Yard A,T-1,,placed,,,,,,,,,,12.50,45,,W1: 2 set; D1: 1 cut,whole order
,,,,received,board-1x4,,16 ft,,2,,,,,,,,,no price
,,,,,board-1x4,,16 ft,,2,,,,1,,,,,
,,,,placed,board-1x4,,2 lb,,2,,,,1,,,,,
,,,,placed,,,16 ft,,2,,,,1,,,,,
,,,,placed,,,,,,,,,,,5,,W1 all set,`})
	assert.Equal(t, []string{
		`job.xlsx: Purchases!N7: warning: Price is blank: the line is not in what was bought so far (write the price of one, as invoiced)`,
		`job.xlsx: Purchases!E8: State is blank (write one of: "draft", "placed", "confirmed", "back-ordered", "received", "cancelled", "returned")`,
		`job.xlsx: Purchases!H9: Pack "2 lb" is a weight, but board-1x4 is bought by length (write 16 ft)`,
		`job.xlsx: Purchases!F10: Item is blank: the line is not counted as bought (write a key of the Items sheet; clear count and pack if it is of the whole order)`,
		`job.xlsx: Purchases!R11: Done before "W1 all set" is not understood (write mark, number and status, such as W1: 2 set; D1: 1 cut)`,
	}, ps)
	bought := s.Book.Job.Purchases
	require.Len(t, bought, 6)
	type figures struct {
		there  int64
		counts bool
		cost   measure.Money
	}
	var got []figures
	for _, b := range bought {
		got = append(got, figures{b.There(), b.Counts(), b.Cost().V})
	}
	// Arithmetic: 8 boards of 23.20 are 185.60, one is lost; 5 tubes came at 7.85, 39.25,
	// less 15.70 for 2 that went back; 3 rolls are still bought while 2 are back-ordered.
	assert.Equal(t, []figures{{7, true, 185_60}, {3, true, 23_55}, {3, true, 116_25}, {0, false, 0}, {0, true, 57_50}, {2, true, 0}}, got)
	assert.Equal(t, int64(12*measure.Foot), bought[0].Amount, "as received")
	assert.False(t, bought[5].Cost().Set, "no price is no cost of 0")
	assert.Equal(t, []estimate.Progress{
		{Mark: "W1", Stages: []estimate.Stage{{Status: estimate.StatusSet, Count: 2}}},
		{Mark: "D1", Stages: []estimate.Stage{{Status: estimate.StatusCut, Count: 1}}},
	}, s.Book.Job.DoneBefore())
}

func TestStages(t *testing.T) {
	for _, c := range []struct {
		status string
		want   []estimate.Stage
		least  estimate.Status
		doubt  string
	}{
		{"2 set, 2 delivered", []estimate.Stage{{Status: estimate.StatusDelivered, Count: 2}, {Status: estimate.StatusSet, Count: 2}}, estimate.StatusDelivered, ""},
		{"1 of 4 set", []estimate.Stage{{Count: 3}, {Status: estimate.StatusSet, Count: 1}}, "", ""},
		{"3 set / 1 cut", []estimate.Stage{{Status: estimate.StatusSet, Count: 3}, {Status: estimate.StatusCut, Count: 1}}, estimate.StatusSet, ""},
		{"4 set", nil, estimate.StatusSet, ""},
		{"set", nil, estimate.StatusSet, ""},
		{"3 set, 2 cut", nil, "", "W1: Status speaks of 5 openings, and there are 4: it is taken as not stated"},
		{"2 set, some cut", nil, "", `Status "2 set, some cut" is not known`},
	} {
		s, ps := readSheets(t, map[string]string{"Openings": "Mark,Qty,Kind,Frame width,Frame height,Status\nW1,4,window,36,48,\"" + c.status + `"`})
		require.Len(t, s.Book.Openings, 1, ps)
		o := s.Book.Openings[0]
		for _, p := range o.InStages() {
			ps = append(ps, p.What)
		}
		assert.Equal(t, c.want, o.Stages, c.status)
		assert.Equal(t, c.least, o.Status, c.status)
		if c.doubt != "" {
			require.NotEmpty(t, ps, c.status)
			assert.Contains(t, ps[0], c.doubt)
		}
	}
}

// TestSampleAccepted: only somebody's word releases the pieces that are not measured.
func TestSampleAccepted(t *testing.T) {
	for word, taken := range map[string]bool{
		"R. Lead, 12 Nov": true, "owner, by phone 2026-11-12": true,
		"no": false, "none": false, "0": false, "pending": false, "TBD": false, "?": false, "not yet": false, "rejected by owner 12 Nov": false,
		"no, measure all": false, "yes": false, "x": false, "OK": false, "Nov 12": false,
	} {
		s, ps := readSheets(t, map[string]string{"Openings": "Mark,Qty,Kind,Frame width,Frame height,Sample accepted\nW1,3,window,36,48,\"" + word + `"`})
		require.Len(t, s.Book.Openings, 1)
		assert.Equal(t, taken, s.Book.Openings[0].Sample != "", word)
		assert.Equal(t, taken, len(ps) == 0, "%s: %v", word, ps)
	}
}

// TestOperationAsWritten: what stands under Operation beside the way it opens is not lost.
func TestOperationAsWritten(t *testing.T) {
	for words, want := range map[string]struct {
		op   estimate.Operation
		says string
	}{
		"arch top fixed":       {estimate.Fixed, "its flashing is estimated as that of a rectangle, and no trim is planned"},
		"half round fixed":     {estimate.Fixed, "no trim is planned"},
		"twin double hung":     {estimate.DoubleHung, "speaks of mulled units"},
		"fixed/casement/fixed": {"fixed/casement/fixed", "is none of the usual words"},
		"fixed over awning":    {"fixed over awning", "is none of the usual words"},
		"casement":             {estimate.Casement, ""},
		"tilt and turn":        {estimate.TiltTurn, ""},
	} {
		s, ps := readSheets(t, map[string]string{"Openings": "Mark,Kind,Frame width,Frame height,Operation\nW1,window,36,48," + words})
		require.Len(t, s.Book.Openings, 1)
		assert.Equal(t, want.op, s.Book.Openings[0].Operation, words)
		take, more := estimate.Make(s.Book)
		require.Len(t, take.Openings, 1)
		all := ps
		for _, p := range more {
			all = append(all, p.String())
		}
		if want.says != "" {
			assert.Contains(t, strings.Join(all, "\n"), want.says, words)
		}
	}
}

// Why a line cannot go back; a file from before that column is read as ever.
func TestPurchasesNotReturned(t *testing.T) {
	const head = "Date,Supplier,Order,Invoice,State,Item,Code,Pack,Pack received,Count,Received,Returned,Lost,Price,Tax,Freight,Credit,Done before,Notes"
	const line = "\n2026-11-16,A,,,placed,board-1x4,,16 ft,,1,,,,23.10,,,,,"
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Purchases": head + ",Cannot be returned" + line + ",Special" + line + ",yes" +
		line + ",cut to length"})
	var got []estimate.NoReturn
	for _, b := range s.Book.Job.Purchases {
		got = append(got, b.NoReturn)
	}
	assert.Equal(t, []estimate.NoReturn{"special order", "cut"}, got)
	assert.Equal(t, []string{
		`job.xlsx: Purchases!T3: Cannot be returned "yes" is no reason (write special order, cut, opened or dated; leave it blank if it can go back)`,
	}, ps)
	s, ps = readSheets(t, map[string]string{"Openings": oneOpening, "Purchases": head + line})
	assert.Empty(t, ps)
	assert.Len(t, s.Book.Job.Purchases, 1)
}
