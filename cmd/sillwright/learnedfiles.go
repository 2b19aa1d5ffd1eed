package main

import (
	"strconv"

	"github.com/gocarina/gocsv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/schedule"
	"sillwright/pricing/learn"
)

// settingLine is a row of a file of settings: a line of Job, or a task of Labor. What it
// rests on stands behind its value, to be read by people.
type settingLine struct {
	Sheet    string `csv:"Sheet"`
	Key      string `csv:"Key"`
	Kind     string `csv:"Kind"`
	Per      string `csv:"Per"`
	Phase    string `csv:"Phase"`
	Value    string `csv:"Value"`
	Rate     string `csv:"Rate"`
	Estimate string `csv:"Estimate had"`
	Median   string `csv:"Median"`
	Low      string `csv:"Low"`
	High     string `csv:"High"`
	Sure     string `csv:"Sure"`
	Jobs     int    `csv:"Jobs"`
}

// writeSettings writes what jobs taught as a file of settings.
func writeSettings(l learn.Lessons) ([]byte, error) {
	lines := []settingLine{}
	for _, s := range l.Settings {
		m := s.Rate.Middle
		line := settingLine{Sheet: schedule.JobSheet, Key: s.Key, Value: s.Value, Rate: s.Rate.Name, Median: s.Rate.Words(m.Median), Low: s.Rate.Words(m.Low),
			High: s.Rate.Words(m.High), Sure: m.Sure.String(), Jobs: m.Jobs}
		if s.Rate.Had.Set {
			line.Estimate = s.Rate.Words(s.Rate.Had.V)
		}
		if t := s.Task; t.Task != "" {
			line.Sheet, line.Key, line.Kind, line.Per, line.Phase = schedule.LaborSheet, t.Task, string(t.Kind), t.Per, string(t.Phase)
			line.Value = strconv.FormatFloat(float64(t.Hours.V)/float64(estimate.Hour), 'f', -1, 64)
		}
		lines = append(lines, line)
	}
	return gocsv.MarshalBytes(lines)
}

// onHandLine is a row of a file of what is on hand.
type onHandLine struct {
	Item    string `csv:"Item"`
	Length  string `csv:"Length"`
	Count   int64  `csv:"Count"`
	Notes   string `csv:"Notes"`
	Content string `csv:"Content"`
}

// writeLeftovers writes what is left of a job as the next job's On hand: whole packs and
// boards, and of each size what is left of another.
func writeLeftovers(j learn.Job) ([]byte, error) {
	lines, units := []onHandLine{}, estimate.UnitsOf(j.Book.Job.MM)
	for _, l := range j.Book.Job.Actuals.Left {
		item, known := j.Book.Items.Get(l.Item)
		if !known || !l.Left.Set {
			continue
		}
		line := onHandLine{Item: l.Item, Notes: "left of " + j.Name}
		of := func(n int64) string { // what so many ten-thousandths of one are
			if item.Cut {
				length := measure.Length(estimate.Packs(n).Of(l.Amount))
				return units.Words(length - length%(measure.Inch/32))
			}
			c, err := measure.ParseContent(l.Pack, "")
			if err != nil {
				return ""
			}
			return c.Part(n)
		}
		put := func(count int64, content string) {
			if line.Count = count; count == 0 || content == "" {
				return
			}
			if line.Length, line.Content = "", content; item.Cut {
				line.Length, line.Content = content, ""
			}
			lines = append(lines, line)
		}
		put(int64(l.Left.V/estimate.Pack), l.Pack)
		if part := int64(l.Left.V % estimate.Pack); part > 0 {
			put(1, of(part))
		}
	}
	return gocsv.MarshalBytes(lines)
}
