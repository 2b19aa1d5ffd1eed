package estimate

import (
	"fmt"
	"strconv"
	"strings"

	"sillwright/estimate/measure"
)

// bind ties a key of the Job sheet to its place in a Job: it stores the value
// or says what is wrong with it.
type bind struct {
	key string
	set func(j *Job, s string) error
}

func text[S ~string](at func(*Job) *S) func(*Job, string) error {
	return func(j *Job, s string) error { *at(j) = S(s); return nil }
}

func flag(at func(*Job) *bool) func(*Job, string) error {
	return func(j *Job, s string) error { *at(j) = s == "yes"; return nil }
}

func length(at func(*Job) *measure.Length) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		*at(j), err = measure.ParseLength(s, j.Bare())
		return err
	}
}

func rate(at func(*Job) *measure.Rate) func(*Job, string) error {
	return func(j *Job, s string) error {
		r, err := percent(s)
		if err == nil {
			*at(j) = r
		}
		return err
	}
}

// percent reads a rate of the Job sheet, in percent with or without the sign.
func percent(s string) (measure.Rate, error) {
	r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s, "%")) + " %")
	if err == nil && r > measure.One {
		err = &measure.FormError{What: fmt.Sprintf("of %s is over 100 %%", r), Do: "write 6 for 6 %"}
	}
	return r, err
}

func count(at func(*Job) *int64) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		*at(j), err = measure.ParseCount(s)
		return err
	}
}

// number reads a whole number that may be negative and may be missing.
func number(at func(*Job) *Maybe[int64]) func(*Job, string) error {
	return func(j *Job, s string) error {
		n, err := strconv.ParseInt(s, 10, 32)
		if err != nil {
			return &measure.FormError{What: fmt.Sprintf("%q is not a whole number", s), Do: "write digits alone"}
		}
		*at(j) = Given(n)
		return nil
	}
}

func ofKind[S ~string](k Kind, at func(*Job) map[Kind]S) func(*Job, string) error {
	return func(j *Job, s string) error { at(j)[k] = S(s); return nil }
}

func side(k Kind, at func(*Job) map[Kind]Size, height bool) func(*Job, string) error {
	return func(j *Job, s string) error {
		l, err := measure.ParseLength(s, j.Bare())
		if err != nil {
			return err
		}
		size := at(j)[k]
		if height {
			size.H = l
		} else {
			size.W = l
		}
		at(j)[k] = size
		return nil
	}
}

func depth(k Kind) func(*Job, string) error {
	return func(j *Job, s string) (err error) {
		j.Depth[k], err = measure.ParseLength(s, j.Bare())
		return err
	}
}

func role(name string) bind {
	return bind{name, func(j *Job, s string) error { j.Role[name] = s; return nil }}
}

// WastePrefix stands before the name of a waste percentage on Job.
const WastePrefix = "waste "

func waste(name string) bind {
	return bind{WastePrefix + name, func(j *Job, s string) error {
		r, err := percent(s)
		if err == nil {
			j.Allowance[name] = r
		}
		return err
	}}
}

func legClearance(on SitsOn) bind {
	return bind{"leg clearance " + string(on), func(j *Job, s string) (err error) {
		j.LegClearance[on], err = measure.ParseLength(s, j.Bare())
		return err
	}}
}

// date reads a day that may be missing.
func date(at func(*Job) *Maybe[measure.Date]) func(*Job, string) error {
	return func(j *Job, s string) error {
		d, err := measure.ParseDate(s)
		if err == nil {
			*at(j) = Given(d)
		}
		return err
	}
}

// money reads an amount that may be missing.
func money(at func(*Job) *Maybe[measure.Money]) func(*Job, string) error {
	return func(j *Job, s string) error {
		m, err := measure.ParseMoney(s)
		if err == nil && m < 0 {
			err = &measure.FormError{What: fmt.Sprintf("%q is below 0", s), Do: "write an amount, or leave it blank"}
		}
		if err == nil {
			*at(j) = Given(m)
		}
		return err
	}
}

func phaseDate(v Phase) bind {
	return bind{string(v) + " date", func(j *Job, s string) error {
		d, err := measure.ParseDate(s)
		if err == nil {
			j.PhaseDate[v] = d
		}
		return err
	}}
}

// trimBoard ties a board of a trim set; the entry and patio doors share one.
func trimBoard(key string, at func(*TrimSet) *string, kinds ...Kind) bind {
	return bind{key, func(j *Job, s string) error {
		for _, k := range kinds {
			set := j.Trim[k]
			*at(&set) = s
			j.Trim[k] = set
		}
		return nil
	}}
}

func headOf(t *TrimSet) *string { return &t.Head }

func legOf(t *TrimSet) *string { return &t.Leg }

func bottomOf(t *TrimSet) *string { return &t.Bottom }

func mullOf(t *TrimSet) *string { return &t.Mull }

func layoutOf(t *TrimSet) *string { return &t.Layout }

func clearances(j *Job) map[Kind]Size { return j.Clearance }

func callMeans(j *Job) map[Kind]CallMeaning { return j.CallMeans }

func flanges(j *Job) map[Kind]Flange { return j.Flange }

func sitsOn(j *Job) map[Kind]SitsOn { return j.SitsOn }

func pans(j *Job) map[Kind]Pan { return j.Pan }
