package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// Names of the files that the program writes. What is put behind the stem of an
// input begins with a dash.
const (
	outputEnding     = "-estimate.xlsx"
	markedEnding     = "-marked.xlsx"
	importEnding     = "-schedule.xlsx"
	orderInfix       = "-order-"     // between the stem and the supplier
	requestInfix     = "-request"    // between the stem and the supplier that is asked
	incompleteOrder  = "-INCOMPLETE" // behind the supplier of an order that lacks something
	notOrderedEnding = "-not-ordered.csv"
	purchasesEnding  = "-purchases.csv"
	comparisonFile   = "comparison.xlsx"
	changeInfix      = "-change-" // between the stem and the number of a change order
	bidEnding        = "-bid.xlsx"
	indexName        = "estimates-index" // without its ending: the list of the jobs of a batch
	learnedFile      = "learned.xlsx"
	learnedSettings  = "learned-settings.csv"
	learnedOnHand    = "learned-on-hand.csv"
	pricesFile       = "prices.csv" // of new and demo
	scheduleFile     = "schedule.xlsx"
)

// stem returns the name of a schedule, or of its estimate, without its ending.
func stem(path string) string {
	base := filepath.Base(path)
	if strings.HasSuffix(strings.ToLower(base), outputEnding) {
		return base[:len(base)-len(outputEnding)]
	}
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// outFolder returns the folder of an output: the one that was named, else that of
// the input.
func outFolder(named, input string) string {
	if named != "" {
		return named
	}
	return filepath.Dir(input)
}

// outputOf returns the file in an output folder (see outFolder) that is written
// for an input.
func outputOf(input, folder, ending string) string {
	return filepath.Join(outFolder(folder, input), stem(input)+ending)
}

// importTarget returns the file that a list is imported to.
func importTarget(list string) string {
	return strings.TrimSuffix(list, filepath.Ext(list)) + importEnding
}

// isOutput reports whether a workbook among the files of a folder is one that the
// program writes: an order stands beside its CSV file, a change order beside the
// comparison. Names are in lower case.
func isOutput(name string, folder map[string]bool) bool {
	order := (strings.Contains(name, orderInfix) || strings.Contains(name, requestInfix)) && folder[strings.TrimSuffix(name, ".xlsx")+".csv"]
	change := strings.Contains(name, changeInfix) && folder[comparisonFile]
	return order || change || name == comparisonFile || name == learnedFile || strings.HasPrefix(name, indexName) || isBackup.MatchString(name) ||
		strings.HasSuffix(name, outputEnding) || strings.HasSuffix(name, markedEnding) ||
		strings.HasSuffix(name, bidEnding) && folder[strings.TrimSuffix(name, bidEnding)+outputEnding]
}

// isBackup finds the names of backups, see backupOf.
var isBackup = regexp.MustCompile(`-estimate\.bak(-\d+)?\.xlsx$`)

// backupOf returns the name of the so many-th backup of an estimate.
func backupOf(target string, n int) string {
	stem := strings.TrimSuffix(target, filepath.Ext(target))
	if n > 1 {
		return fmt.Sprintf("%s.bak-%d.xlsx", stem, n)
	}
	return stem + ".bak.xlsx"
}

// canonicalPath writes a path in one way, whichever links lead to its folder.
func canonicalPath(path string) string {
	dir, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err == nil {
		dir, err = filepath.Abs(dir)
	}
	if err != nil {
		return path // reported when it is written to
	}
	return filepath.Join(dir, filepath.Base(path))
}

// sameTarget finds the input whose output, however its path is written, is the
// file at target. Outputs are in targets with their inputs.
func sameTarget(target string, targets map[string]string) (input string, taken bool) {
	if input, taken = targets[target]; taken {
		return input, true
	}
	here, err := os.Stat(target)
	if err != nil {
		return "", false
	}
	for _, other := range slices.Sorted(maps.Keys(targets)) {
		if there, err := os.Stat(other); err == nil && os.SameFile(here, there) {
			return targets[other], true
		}
	}
	return "", false
}

// slug turns a supplier's name into a part of a file name that no other of the
// used ones is.
func slug(name string, used map[string]bool) string {
	separator := func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }
	word := strings.Join(strings.FieldsFunc(strings.ToLower(name), separator), "-")
	if word == "" {
		word = "supplier"
	}
	base := word
	for n := 2; used[word]; n++ {
		word = fmt.Sprintf("%s-%d", base, n)
	}
	used[word] = true
	return word
}
