package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
)

func tenths(n int64) estimate.Maybe[estimate.Hours] {
	return estimate.Given(estimate.Hours(n) * estimate.Hour / 10)
}

// crewTasks are three tasks with hours and one without.
var crewTasks = []estimate.LabourTask{
	{Task: "Set", Kind: estimate.Window, Per: "unit", Hours: tenths(12), Public: tenths(40), Covers: "double hung", Source: "a table"},
	{Task: "Seal", Kind: estimate.Window, Per: "foot", Hours: estimate.Given[estimate.Hours](333)},
	{Task: "Seal", Kind: estimate.EntryDoor, Per: "meter", Hours: tenths(1)},
	{Task: "Hang", Kind: estimate.EntryDoor, Per: "opening", Public: tenths(50), Covers: "single", Source: "a table"},
}

// crewed returns a writer whose By opening is written: W1, two of three joined
// units and 36 x 60, and D1, 38 x 82.
func crewed(mm bool, rate estimate.Maybe[measure.Money], tasks []estimate.LabourTask) *writer {
	in := measure.Inch
	job := estimate.Job{MM: mm, CrewRate: rate}
	take := estimate.Takeoff{Openings: []estimate.Sized{
		{Opening: estimate.Opening{Mark: "W1", Qty: 2, Units: 3, Kind: estimate.Window, Frame: estimate.Size{W: 36 * in, H: 60 * in}}},
		{Opening: estimate.Opening{Mark: "D1", Qty: 1, Units: 1, Kind: estimate.EntryDoor, Frame: estimate.Size{W: 38 * in, H: 82 * in}}, Order: 1},
	}}
	w := testWriter(Input{Book: estimate.Book{Job: job, Labour: tasks}, Settings: rateSettings(rate), Takeoff: take})
	w.in.Plan.Labour, _ = estimate.Labour(job, tasks, take)
	w.byOpeningSheet(w.page("By opening"))
	w.laborSheet(w.page("Labor"))
	return w
}

// rateSettings are the settings of a job with a rate, which may be missing.
func rateSettings(rate estimate.Maybe[measure.Money]) []estimate.Setting {
	if !rate.Set {
		return []estimate.Setting{crewRate("")}
	}
	return []estimate.Setting{crewRate(rate.V.String())}
}

// laborWritten returns the sheet as stored.
func laborWritten(t *testing.T, w *writer) writtenSheet {
	t.Helper()
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	return written(t, data, "Labor", "Task")
}

// Source: arithmetic; 16 ft round a window, 240 in or 6.096 m round the door.
func TestLaborSheet(t *testing.T) {
	w := crewed(false, estimate.Given[measure.Money](65_50), crewTasks)
	s := laborWritten(t, w)
	rows := s.rows
	assert.Equal(t, []string{"All checks pass", "", "", "Of the hours typed", "", "8.8752", "581.33"}, rows[2])
	assert.Equal(t, []string{"Task", "Kind", "Per", "Hours", "Quantity", "Total hours", "Cost", "Published hours", "Published total", "Covers", "Basis", "Source"}, rows[3])
	assert.Equal(t, []string{"Set", "window", "unit", "1.2", "6", "7.2", "471.6", "4", "24", "double hung", "", "a table"}, rows[4])
	assert.Equal(t, []string{"Seal", "window", "foot", "0.0333", "32", "1.0656", "69.8"}, trimmed(rows[5]), "69.7968")
	assert.Equal(t, []string{"Seal", "entry door", "meter", "0.1", "6.096", "0.6096", "39.93"}, trimmed(rows[6]), "39.9288")
	assert.Equal(t, []string{"Hang", "entry door", "opening", "", "1", "", "", "5", "5", "single", "", "a table"}, rows[7], "without hours it costs nothing, and not 0")
	assert.Len(t, rows, 8+ownTasks)
	assert.Empty(t, trimmed(rows[8]), "room for a task of the crew's own")
	assert.Equal(t, "Labor!$G$3", w.laborTotal)
	assert.Equal(t, "SUM(G5:G13)", s.formula(3, "Cost"), "with the rows of the crew's own")
	assert.Equal(t, "SUM(F5:F13)", s.formula(3, "Total hours"))

	const own = "'By opening'!"
	assert.Equal(t, `IF(AND(ISNUMBER(D5),ISNUMBER(E5)),ROUND(ROUND(D5*E5,8),4),"")`, s.formula(5, "Total hours"))
	assert.Equal(t, `IF(AND(ISNUMBER(H5),ISNUMBER(E5)),ROUND(ROUND(H5*E5,8),4),"")`, s.formula(5, "Published total"))
	assert.Equal(t, `IF(ISNUMBER(F5),IF(ISNUMBER(Job!$B$5),ROUND(ROUND(F5*Job!$B$5,6),2),"no labor rate"),"")`, s.formula(5, "Cost"))
	assert.Contains(t, s.formula(5, "Quantity"), `IF(C5="opening",SUMIF(`+own+`$B$6:$B$7,B5,`+own+`$C$6:$C$7),`)
	assert.Contains(t, s.formula(5, "Quantity"), `*0.3048,""`, "a meter of feet")
}

// trimmed drops the blank cells at the end of a row.
func trimmed(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

func TestLaborSheetInMeters(t *testing.T) {
	inches, mm := crewed(false, estimate.Given[measure.Money](65_50), crewTasks), crewed(true, estimate.Given[measure.Money](65_50), crewTasks)
	metric := laborWritten(t, mm)
	assert.Equal(t, laborWritten(t, inches).rows, metric.rows, "a foot is a foot")
	assert.Contains(t, metric.formula(5, "Quantity"), `/0.3048,IF(C5="meter"`)
}

func TestLaborSheetWithoutRate(t *testing.T) {
	s := laborWritten(t, crewed(false, estimate.Maybe[measure.Money]{}, crewTasks))
	assert.Equal(t, "no labor rate", s.text(5, "Cost"))
	assert.Equal(t, []string{"8.8752", "0"}, s.texts(3, "Total hours", "Cost"))

	s = laborWritten(t, crewed(false, estimate.Maybe[measure.Money]{}, crewTasks[3:]))
	assert.Equal(t, []string{"0", "0"}, s.texts(3, "Total hours", "Cost"), "off: no hours, no cost")
	assert.Equal(t, "", s.text(5, "Cost"))
}

func TestLaborWithoutOpenings(t *testing.T) {
	w := testWriter(Input{Book: estimate.Book{Labour: crewTasks}, Settings: rateSettings(estimate.Maybe[measure.Money]{})})
	w.in.Plan.Labour, _ = estimate.Labour(estimate.Job{}, crewTasks, estimate.Takeoff{})
	w.byOpeningSheet(w.page("By opening"))
	w.laborSheet(w.page("Labor"))
	assert.Equal(t, "0", laborWritten(t, w).text(5, "Quantity"))
}

// A schedule has the sheet too, without what follows from the openings.
func TestLaborOfASchedule(t *testing.T) {
	for _, x := range []struct {
		blank bool
		rows  int
	}{{false, len(crewTasks)}, {true, len(crewTasks) + ownTasksBlank}} {
		columns := Table{Columns: []string{"Mark"}, Headers: []string{"Mark"}}
		data, err := Schedule(ScheduleInput{How: "how", Book: estimate.Book{Labour: crewTasks}, Openings: columns, Measured: columns, Blank: x.blank})
		require.NoError(t, err)
		assert.Empty(t, audit.Lint(data))
		s := written(t, data, "Labor", "Task")
		assert.Equal(t, []string{"Task", "Kind", "Per", "Hours", "Published hours", "Covers", "Basis", "Source"}, s.rows[s.header-1])
		assert.Equal(t, []string{"Set", "window", "unit", "1.2", "4", "double hung", "", "a table"}, s.rows[s.header])
		dim, err := s.file.GetSheetDimension("Labor")
		require.NoError(t, err)
		assert.Equal(t, "A1:"+s.at(s.header+x.rows, "Source"), dim)
	}
}
