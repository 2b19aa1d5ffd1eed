package estimate

import "sillwright/estimate/measure"

// Dimension is what an amount counts. The base units are whole: pieces,
// nanometers, square micrometers, nanoliters.
type Dimension int

// The dimensions of a need.
const (
	Each Dimension = iota
	Lengthwise
	Areawise
	Volumewise
)

// DimensionWords are the words of the Items sheet, by Dimension.
var DimensionWords = []string{"each", "length", "area", "volume"}

// The classes of items.
const (
	ClassPan       = "pan"
	ClassTape      = "tape"
	ClassSealant   = "sealant"
	ClassFastening = "fastening"
	ClassShims     = "shims and foam"
	ClassMetal     = "metal"
	ClassBoards    = "boards"
	ClassFinish    = "finish"
	ClassDoor      = "door parts"
)

// flashingClasses are the classes of items that lie on the WRB.
var flashingClasses = []string{ClassPan, ClassTape, ClassMetal}

// Classes are the groups in which costs are shown, in the order of the work.
var Classes = []string{ClassPan, ClassTape, ClassSealant, ClassFastening, ClassShims, ClassMetal, ClassBoards, ClassFinish, ClassDoor}

// Item is something that is bought: a row of the Items sheet, without prices.
type Item struct {
	Place     Place
	Key       string
	Name      string // what people call it
	Family    string // members differ in size; a rule takes the smallest that fits
	Class     string
	Cut       bool           // bought as stock and cut into pieces; else bought in packs
	Dim       Dimension      // of the need
	Width     measure.Length // tape or board width, rod diameter
	Thickness measure.Length
	Length    measure.Length // nail or screw length, middle section of a pan kit
	FitsFrom  measure.Length // depths or thicknesses it fits
	FitsTo    measure.Length
	End       measure.Length // rigid pan: length of an end section
	Lap       measure.Length // pan sections, metal lengths
	// Gap is the joint that this board needs beside a frame, on the side where
	// it stands; missing = the job's.
	Gap Maybe[measure.Length]
	// Coverage is how much of the need one unit of content serves: nails a
	// pound, square feet a gallon, joints a can. Zero: the content is in the
	// need's own dimension.
	Coverage     int64
	CoverageUnit string // lb, gal, each
	Kerf         Maybe[measure.Length]
	EndTrim      Maybe[measure.Length]
	Joint        Joint          // whether its pieces may be joined along their length
	Coil         measure.Length // width of the coil its pieces are cut from; 0 = bought at its width
	Forms        bool           // tape that turns a corner without a cut
	Openings     int64          // that one pack serves, whatever it holds; 0 = as many as its content does
	DaysOpen     int64          // of work that a pack keeps once it is opened; 0 = it keeps
	Allowance    string         // which of the job's waste percentages, "" = none
	MinTempF     Maybe[int64]   // lowest application temperature
	Site         bool           // used on site, where the cold counts
	CostCode     string         // the crew's own account, "" = none
	Notes        string
	Basis        string // standing of the source, one of Bases or ""
	Source       string
}

// Items is the set of items of a job, by key and by family.
type Items struct {
	list   []Item
	key    map[string]int
	family map[string][]Item
}

// NewItems returns the set; a later item replaces an earlier one of its key.
func NewItems(list []Item) Items {
	s := Items{key: map[string]int{}, family: map[string][]Item{}}
	for _, it := range list {
		if i, ok := s.key[it.Key]; ok {
			s.list[i] = it
			continue
		}
		s.key[it.Key] = len(s.list)
		s.list = append(s.list, it)
	}
	for _, it := range s.list {
		if it.Family != "" {
			s.family[it.Family] = append(s.family[it.Family], it)
		}
	}
	return s
}

// List returns the items in their order.
func (s Items) List() []Item { return s.list }

// Get returns the item of a key.
func (s Items) Get(key string) (Item, bool) {
	i, ok := s.key[key]
	if !ok {
		return Item{}, false
	}
	return s.list[i], true
}

// Family returns the members of a family in their order; they are not to be
// written to.
func (s Items) Family(name string) []Item { return s.family[name] }
