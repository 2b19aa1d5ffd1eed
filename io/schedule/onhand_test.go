package schedule

import (
	"testing"

	"github.com/stretchr/testify/assert"

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
drip-cap,-3,1,`})
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
		`job.xlsx: 'On hand'!A5: foam-low is bought in packs: only what is cut to length is taken from what is on hand (delete the line, or type fewer ` +
			`packs under Override on Materials)`,
		`job.xlsx: 'On hand'!B6: Length is blank (write how long each is)`,
		`job.xlsx: 'On hand'!C7: Count is blank (write how many there are)`,
		`job.xlsx: 'On hand'!B9: Length "-3" is negative (write it without the minus sign)`,
	}, ps)
}
