package workbook

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

func (w *writer) settingColumns() []xlsx.Column[estimate.Setting] {
	type row = estimate.Setting
	return []xlsx.Column[row]{
		{Head: "Key", Width: 27, Frozen: true, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.Text, s.Key) }},
		{Head: "Value", Width: 22, Cell: func(s row) xlsx.Cell {
			c := settingCell(s)
			if w.checked && !isLive(s) && !slices.Contains(freeSettings, s.Key) {
				c.Look = c.Look.Rerun()
			}
			return c
		}},
		{Head: "Unit", Width: 14, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.Text, unitWords(s.Unit)) }},
		{Head: "Default", Width: 16, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.Default) }},
		{Head: "Meaning", Width: 50, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Meaning) }},
		{Head: "Basis", Width: 18, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Basis) }},
		{Head: "Source", Width: 44, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Source) }},
	}
}

// liveSettings are the lines of Job that formulas follow; so are those that begin with
// waste.
var liveSettings = []string{"tax", "tax units", "tax delivery", "tax basis", "overhead", "contingency", "profit", "profit is", "labor rate"}

// freeSettings are the lines of Job that change no result.
var freeSettings = append(estimate.PaperSettings(), "job number", "job name", "note", "ship to", "paper", "protect sheets")

func isLive(s estimate.Setting) bool {
	return slices.Contains(liveSettings, s.Key) || strings.HasPrefix(s.Key, estimate.WastePrefix)
}

// settingKind is what a line that formulas follow may hold.
func settingKind(s estimate.Setting) liveKind {
	switch {
	case len(s.Words()) > 0:
		return oneOf(s.Words()...)
	case s.Unit == estimate.UnitMoney:
		return amountInput
	}
	return rateInput
}

// settingDefault is what a line of Job counts as that is empty, nil for none.
func settingDefault(s estimate.Setting) any {
	s.Text = ""
	if s.Default == "" {
		return nil
	}
	return settingCell(s).V
}

// jobSheet writes the settings, a line a key. Rates are numbers, so that the
// bid follows them.
func (w *writer) jobSheet(p *xlsx.Sheet) {
	w.lead(p, "Job", "Your own values; a blank Value takes the default beside it. "+w.bareWords())
	t := xlsx.NewTable(p, "JobSettings", w.settingColumns())
	t.Header()
	lines := map[int]estimate.Setting{} // by row
	for _, s := range w.in.Settings {
		lines[t.Keyed(s.Key, s)] = s
		if words := s.Words(); len(words) > 0 {
			t.At(s.Key, "Value").Choice(words, "Job", s.Key+": "+strings.Join(words, ", "))
		}
	}
	t.Finish()
	if w.checked {
		w.settings = &t.Grid
		w.watchSettings(lines)
	}
}

// watchSettings holds the settings against what they were, those that formulas follow
// apart.
func (w *writer) watchSettings(lines map[int]estimate.Setting) {
	label := func(row int) string { return lines[row].Key }
	held := &watched{name: "Job", in: w.settings, key: "Key", held: []string{"Value"}, added: []string{"Key"}, label: label}
	w.rates = &watched{
		name: "Job: rates", sheet: "Job", in: w.settings, key: "Key", live: []string{"Value"}, label: label,
		kind:  func(row int, _ string) liveKind { return settingKind(lines[row]) },
		blank: func(row int, _ string) any { return settingDefault(lines[row]) },
	}
	for _, row := range slices.Sorted(maps.Keys(lines)) {
		switch s := lines[row]; {
		case isLive(s) && !w.refused(s):
			w.rates.rows = append(w.rates.rows, row)
		case !slices.Contains(freeSettings, s.Key):
			held.rows = append(held.rows, row)
		}
	}
	w.hold(held, w.rates)
}

// refused reports whether the value of a setting is an error, so that its default holds.
func (w *writer) refused(s estimate.Setting) bool {
	return slices.ContainsFunc(w.in.Problems, func(p estimate.Problem) bool {
		return p.Severity == estimate.Error && p.Place == s.Place && s.Text != ""
	})
}

// setting refers to the value of a setting that formulas follow. Where what was typed is
// refused, it is the default that the run took, until the next run.
func (w *writer) setting(key string) string {
	row := w.settings.RowOf(key)
	if slices.Contains(w.rates.rows, row) {
		return w.rates.now(row, "Value")
	}
	i := slices.IndexFunc(w.in.Settings, func(s estimate.Setting) bool { return s.Key == key })
	v := settingDefault(w.in.Settings[i])
	if n, isNumber := xlsx.NumberOf(v); isNumber {
		return strconv.FormatFloat(n, 'f', -1, 64)
	}
	words, _ := v.(string) // nil where there is no default
	return strconv.Quote(words)
}

func unitWords(u string) string {
	switch {
	case strings.Contains(u, "|"):
		return "choose"
	case u == "percent":
		return "%"
	}
	return u
}

// settingCell writes what the crew wrote. A rate that feeds a formula always
// stands in its cell, the default too.
func settingCell(s estimate.Setting) xlsx.Cell {
	if s.Unit == estimate.UnitPercent {
		if r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s.Value(), "%")) + " %"); err == nil {
			return xlsx.Num(r, xlsx.InputPercent)
		}
	}
	if s.Unit == estimate.UnitDate {
		if d, err := measure.ParseDate(s.Text); err == nil {
			return xlsx.Num(d, xlsx.InputDate)
		}
	}
	if m, err := measure.ParseMoney(s.Text); err == nil && s.Unit == estimate.UnitMoney {
		return xlsx.Num(m, xlsx.InputMoney)
	}
	if n, err := measure.ParseCount(s.Text); err == nil && (s.Unit == "count" || s.Unit == "days" || s.Unit == "F") {
		return xlsx.Num(n, xlsx.InputCount)
	}
	if s.Unit == estimate.UnitText {
		return filled(xlsx.InputTextWrap, s.Text)
	}
	if s.Text == "" && slices.Contains([]string{"tax units", "tax delivery", "tax basis", "profit is"}, s.Key) {
		return xlsx.Str(xlsx.InputText, s.Default)
	}
	return filled(xlsx.InputText, s.Text)
}
