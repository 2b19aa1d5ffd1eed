package schedule

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// line is a line of the Job sheet.
type line struct {
	key   string
	value cell
}

// jobFields is the sheet Job. Only Key and Value are read: what a value may be
// is the product's to say.
var jobFields = []field[line]{
	{key: "Key", synonyms: []string{"Setting"}, required: true, filled: "write the key of the line", set: put(text, func(l *line) *string { return &l.key })},
	{key: "Value", required: true, set: func(c *cell, l *line) { l.value = *c }},
	{key: "Unit"}, {key: "Default"}, {key: "Meaning"}, {key: "Basis"}, {key: "Source"},
}

// settingFields is the shipped table of settings, whose values are defaults.
func settingFields() []field[estimate.Setting] {
	type setting = estimate.Setting
	return []field[setting]{
		{key: "key", required: true, filled: "fill it in", set: put(text, func(s *setting) *string { return &s.Key })},
		{key: "value", required: true, set: put(text, func(s *setting) *string { return &s.Default })},
		{key: "unit", required: true, filled: "fill it in", set: put(text, func(s *setting) *string { return &s.Unit })},
		{key: "meaning", required: true, filled: "fill it in", set: put(remark, func(s *setting) *string { return &s.Meaning })},
		{key: "basis", set: put(remark, func(s *setting) *string { return &s.Basis })},
		{key: "source", set: put(remark, func(s *setting) *string { return &s.Source })},
		{key: "least", set: put(text, func(s *setting) *string { return &s.Least })},
		{key: "most", set: put(text, func(s *setting) *string { return &s.Most })},
	}
}

// job reads the Job sheet, if there is one, over the shipped settings, and
// fills the job from them. A value that is refused stays in Settings as the
// crew wrote it, and the default holds.
func (r *reader) job(s *sheet.Sheet) {
	valid := slices.Clone(r.out.Settings)
	if s != nil {
		r.jobSheet(s, valid)
	}
	job, problems := estimate.NewJob(valid, r.out.Book.Items)
	r.out.Book.Job = job
	r.out.valid, r.out.date1904 = valid, r.book.Date1904
	r.problems = append(r.problems, problems...)
}

func (r *reader) jobSheet(s *sheet.Sheet, valid []estimate.Setting) {
	t, problems := open(s, jobFields, measure.Inches)
	r.problems = append(r.problems, problems...)
	lines := r.jobLines(t)
	j := newJobReader(r.out.Book, r.book.Date1904, measure.Inches)
	if _, mm := plainWords([]string{"mm"}).Find(lines["units"].Text); mm {
		j.bare = measure.Millimeters // what bare numbers on the other lines are
	}
	currency := valid[slices.IndexFunc(valid, func(s estimate.Setting) bool { return s.Key == "currency" })].Default
	if c, written := lines["currency"]; written {
		currency = c.Word()
	}
	for i := range valid {
		v := &valid[i]
		c, written := lines[v.Key]
		if !written {
			continue
		}
		c.name, c.bare, c.currency, c.problems = v.Key, j.bare, currency, &r.problems
		v.Place = c.Place
		var ok bool
		v.Text, ok = j.read(*v, &c)
		r.out.Settings[i] = *v
		if !ok {
			v.Text, r.out.Settings[i].Text = "", c.Word()
		}
	}
}

// settingNames are what people call lines of the sheet Job.
var settingNames = map[string][]string{
	"labor rate": {"man-hour rate", "hourly rate", "loaded labor rate", "loaded rate", "wage"}, "kerf": {"saw cut", "saw kerf"},
	"WRB": {"water-resistive barrier", "weather barrier", "weather resistive barrier", "housewrap"}, "mull": {"mull width", "mull joint"},
	"install date": {"set date"}, "tax": {"sales tax"}, "year built": {"built"}, "nail penetration": {"penetration of nails"},
	"brake length": {"brake"}, "caulk joint": {"caulk gap"}, "sheathing": {"sheathing thickness"}, "stud depth": {"wall framing depth"},
}

// settingWords returns the keys of lines by what people write for them.
func settingWords(settings []estimate.Setting) map[string]string {
	known := map[string]string{}
	for former, now := range estimate.FormerSettings {
		known[sheet.WordKey(former)] = now
	}
	for now, others := range settingNames {
		for _, o := range others {
			known[sheet.WordKey(o)] = now
		}
	}
	for _, s := range settings {
		known[sheet.WordKey(s.Key)] = s.Key
	}
	return known
}

// jobLines returns the filled values of the sheet by key.
func (r *reader) jobLines(t table[line]) map[string]cell {
	known := settingWords(r.out.Settings)
	var names []string
	for _, s := range r.out.Settings {
		names = append(names, s.Key)
	}
	lines, first := map[string]cell{}, map[string]estimate.Place{}
	for _, row := range t.Rows {
		at, value := row.Cell("Key"), row.Cell("Value")
		if isBlank(at) && isBlank(value) {
			continue
		}
		var l line
		problems := t.read(row, &l)
		key := known[sheet.WordKey(l.key)]
		switch {
		case l.key == "":
		case key == "":
			problems = append(problems, unknownKey(at, isBlank(value), names))
		case first[key].Row > 0:
			problems = append(problems, at.Problem(estimate.Error, fmt.Sprintf("Key %q stands in %s too", key, where(first[key])), "keep one of the two"))
		default:
			first[key] = at.Place
			if !isBlank(value) {
				lines[key] = l.value
			}
		}
		r.problems = append(r.problems, problems...)
	}
	return lines
}

// unknownKey reports a key that is no setting. Without a value it does no harm.
func unknownKey(at sheet.Cell, blank bool, known []string) estimate.Problem {
	sev, do := estimate.Error, sheet.Suggest(fold(at.Text), known, "write a key of the shipped Job sheet")
	if blank {
		sev = estimate.Warning
	}
	return at.Problem(sev, fmt.Sprintf("Key %q is not a setting", sheet.Excerpt(at.Word())), do)
}

// jobReader turns the cells of the Job sheet into the texts that
// estimate.NewJob reads.
type jobReader struct {
	item     func(*cell) (string, bool)
	families sheet.Vocabulary
	layouts  estimate.Layouts
	date1904 bool
	bare     measure.Unit
}

// newJobReader reads values for a book; bare is the unit of a number without one.
func newJobReader(b estimate.Book, date1904 bool, bare measure.Unit) jobReader {
	return jobReader{item: anItem(b.Items), families: words(itemFamilies(b.Items)), layouts: b.Layouts, date1904: date1904, bare: bare}
}

// read returns the text of a value of a setting.
func (j jobReader) read(s estimate.Setting, c *cell) (string, bool) {
	switch s.Unit {
	case estimate.UnitText:
		return c.text()
	case estimate.UnitLength:
		return c.lengthText()
	case estimate.UnitMoney:
		return c.moneyText()
	case estimate.UnitPercent:
		return c.percentText()
	case estimate.UnitDate:
		return c.dateText(j.date1904)
	case estimate.UnitItem:
		return j.item(c)
	case estimate.UnitFamily:
		if s, ok := c.text(); ok {
			if family, known := j.families.Find(s); known {
				return family, true
			}
		}
		return j.item(c)
	case estimate.UnitLayout:
		return word[string](sheet.TrimLayout(j.layouts))(c)
	}
	if list := s.Words(); len(list) > 0 {
		return settingWord(s.Key, list, c)
	}
	n, ok := c.whole()
	return strconv.FormatInt(n, 10), ok
}

// settingVocabularies are the vocabularies of lines that are the default of a
// closed column, by how their keys begin.
var settingVocabularies = []struct {
	prefix string
	words  sheet.Vocabulary
}{{"flange ", sheet.Flange}, {"sits on ", sheet.SitsOn}, {"pan ", sheet.SillPan}, {"WRB", sheet.WRB}}

// settingWord reads one of the words of a line.
func settingWord(key string, list []string, c *cell) (string, bool) {
	for _, v := range settingVocabularies {
		if strings.HasPrefix(key, v.prefix) && slices.Equal(v.words.Words, list) {
			return word[string](v.words)(c)
		}
	}
	return word[string](plainWords(list))(c)
}

// lengthText returns a length as text that is read as exactly the same length.
func (c *cell) lengthText() (string, bool) {
	l, ok := c.length()
	if !ok || c.Kind != sheet.Number {
		return c.Word(), ok
	}
	s := c.Text
	if u := c.LengthUnit(c.stated, c.bare); u != c.bare {
		s += " " + u.String()
	}
	if again, err := measure.ParseLength(s, c.bare); err != nil || again != l {
		s = fmt.Sprintf("%d.%06d mm", l/measure.Millimeter, l%measure.Millimeter)
	}
	return s, true
}

// percentText returns a percentage as text. A bare number is in percent; one
// below 1 may be a fraction, and is asked back.
func (c *cell) percentText() (string, bool) {
	if c.Kind == sheet.Number && c.Percent {
		hundred, _ := strconv.ParseFloat(strconv.FormatFloat(c.Number*100, 'g', 15, 64), 64)
		s := strconv.FormatFloat(hundred, 'f', -1, 64)
		if 0 < hundred && hundred < 1 {
			s += " %"
		}
		if c.Rounded() != "" {
			c.sayRounded(estimate.Warning)
		}
		return s, true
	}
	if c.unfit("type the percentage") {
		return "", false
	}
	s := c.Word()
	if _, err := measure.ParseRate(strings.TrimSuffix(s, "%") + " %"); err != nil {
		c.refuse(fmt.Sprintf("%s %q is not a percentage", c.name, sheet.Excerpt(s)), "write 10 or 10 %, with a decimal point and at most four decimals")
		return "", false
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil && 0 < v && v < 1 {
		hundred := strconv.FormatFloat(v*100, 'g', 12, 64)
		c.refuse(fmt.Sprintf("%s %q may be %s %% or %s %%", c.name, s, s, hundred), fmt.Sprintf("write %q or %q", s+" %", hundred+" %"))
		return "", false
	}
	return s, true
}

// moneyText returns an amount as text.
func (c *cell) moneyText() (string, bool) {
	m, ok := c.money()
	return m.String(), ok
}

// dateText returns a day as year-month-day.
func (c *cell) dateText(date1904 bool) (string, bool) {
	if c.Kind != sheet.Date {
		return c.text()
	}
	if p, bad := c.Refuse(); bad {
		*c.problems = append(*c.problems, p)
		return "", false
	}
	d, err := measure.DateFromSerial(c.Number, date1904)
	if err != nil {
		c.form(err)
		return "", false
	}
	return d.String(), true
}
