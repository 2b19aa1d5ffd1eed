package sheet

import (
	"fmt"
	"os"
	"path/filepath"

	"sillwright/estimate"
)

// lockFiles are what office programs call the file that they put beside one that is open.
var lockFiles = []string{"~$%s", ".~lock.%s#"}

// openElsewhere returns a warning where a file is open in another program: what was typed
// there and not saved is not in it.
func openElsewhere(path string) []estimate.Problem {
	dir, name := filepath.Split(path)
	for _, form := range lockFiles {
		lock := fmt.Sprintf(form, name)
		if info, err := os.Lstat(dir + lock); err == nil && info.Mode().IsRegular() {
			return []estimate.Problem{{Place: estimate.Place{File: name}, Severity: estimate.Warning,
				What: fmt.Sprintf("it is open in another program (%s stands beside it); what was saved last is read", lock),
				Do:   "save it there, then run this again; delete that file if nobody has it open"}}
		}
	}
	return nil
}
