package schedule

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// What is left stands beside hours, and neither has to do with the other.
func TestActuals(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Actuals": `Description,Pack,Bought,Left,Broken,Carried,Date,Phase,Time,Hours,Marks,Notes,Item
Sealant,10.1 fl oz,6,2.5,,1,2026-11-20,set,,16.25,W1; W2,two of us,sealant-10
Boards,16 ft,8,0,1,,2026-11-20,,driving,2,,,board-1x4
Tape,75 ft,3,,,,,,,,,,tape-9
,,,1,,,,,,,,,
Boards,2 lb,,1,,,,,,,,,board-1x4
,,,,,,2026-11-21,,,3,,,
,,,,,,2026-11-21,shop,,,,,
,,,,,,2026-11-21,roof,,1,,,`})
	assert.Equal(t, []string{
		`job.xlsx: Actuals!M5: Item is blank: what is left is of nothing (write a key of the Items sheet)`,
		`job.xlsx: Actuals!B6: Pack "2 lb" is a weight, but board-1x4 is bought by length (write 16 ft)`,
		`job.xlsx: Actuals!H7: 3 hours of work are of no phase (write install, shop, trim or finish; or under Time what they went into)`,
		`job.xlsx: Actuals!J8: Hours is blank: nothing is known to be worked (write the hours of all persons together)`,
		`job.xlsx: Actuals!H9: Phase "roof" is not known (write install, shop, trim or finish)`,
	}, ps)
	a := s.Book.Job.Actuals
	require.Len(t, a.Left, 2, "tape is not counted")
	assert.Equal(t, estimate.Given(25*estimate.Pack/10), a.Left[0].Left)
	assert.InDelta(t, 2.5*10.1*231/128*16_387_064, a.Left[0].Left.V.Of(a.Left[0].Amount), 3, "128 fl oz are 231 in3, of 16,387,064 nL")
	assert.Equal(t, estimate.Given(estimate.Pack), a.Left[0].Carried)
	assert.Equal(t, []estimate.Maybe[int64]{{}, estimate.Given[int64](1)}, []estimate.Maybe[int64]{a.Left[0].Broken, a.Left[1].Broken})
	assert.Equal(t, estimate.Given[estimate.Packs](0), a.Left[1].Left, "none left is stated")
	day, _ := measure.ParseDate("2026-11-20")
	for i := range a.Hours {
		a.Hours[i].Place = estimate.Place{}
	}
	assert.Equal(t, []estimate.Worked{
		{Date: estimate.Given(day), Phase: "install", Time: "work", Hours: 16*estimate.Hour + estimate.Hour/4, Marks: []string{"W1", "W2"}, Notes: "two of us"},
		{Date: estimate.Given(day), Time: "travel", Hours: 2 * estimate.Hour},
	}, a.Hours)
}

func settingsFile(t *testing.T, text string) (*Schedule, []string) {
	t.Helper()
	book, problems := sheet.Parse("settings.csv", []byte(text))
	require.Empty(t, problems)
	s, ps := With(book, nil)
	var words []string
	for _, p := range ps {
		words = append(words, p.String())
	}
	return s, words
}

// A file of settings fills in Job and Labor of a new schedule; what is wrong is said at its
// line.
func TestNewWithSettings(t *testing.T) {
	s, ps := settingsFile(t, `Sheet,Key,Kind,Per,Phase,Value,Rate,Jobs
Job,waste sealant,,,,14.2 %,Waste,7
Labor,"Install phase, all work",window,opening,install,1.3,Install,7
,openings a day,,,,6,,3
Labor,Trim,roof,opening,trim,1,,
Weather,rain,,,,1,,
`)
	assert.Equal(t, []string{
		`settings.csv: line 5, Kind: Kind "roof" is not known (write window, entry door, patio door or overhead door)`,
		`settings.csv: line 6, Sheet: Sheet "Weather" has no settings (write Job or Labor)`,
	}, ps)
	assert.Equal(t, measure.Rate(142_000), s.Book.Job.Allowance["sealant"])
	assert.Equal(t, estimate.Given[int64](6), s.Book.Job.OpeningsADay)
	own := s.Book.Labor[len(s.Book.Labor)-1]
	assert.Equal(t, []any{"Install phase, all work", estimate.Window, estimate.PhaseInstall, estimate.Given(estimate.Hour * 13 / 10)}, []any{own.Task, own.Kind, own.Phase, own.Hours})

	_, ps = settingsFile(t, "Name,What\nx,1\n")
	assert.NotEmpty(t, ps, "a table without keys")
}

func FuzzNewSchedule(f *testing.F) {
	f.Add("Sheet,Key,Value\nJob,kerf,1/8\n", "Item,Length,Count,Content\nboard-1x4,60,2,\nsealant-10,,1,5 fl oz\n")
	f.Add("Key,Kind,Per,Phase,Value,Sheet\nSet,window,ft,hang,1:30,labor\n", "Count,Item\n-1,shim\n")
	f.Fuzz(func(t *testing.T, settings, onHand string) {
		a, _ := sheet.Parse("settings.csv", []byte(settings))
		b, _ := sheet.Parse("on-hand.csv", []byte(onHand))
		s, ps := With(a, b)
		for _, p := range ps {
			require.NotEmpty(t, p.What)
		}
		for _, h := range s.Book.Job.OnHand {
			require.Positive(t, h.Count)
		}
		require.Empty(t, s.Book.Openings)
	})
}
