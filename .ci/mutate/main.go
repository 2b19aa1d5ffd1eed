// Command mutate plants one small fault at a time into a copy of the tree and
// tells which of them no test notices. Run it in the top folder:
//
//	go run ./.ci/mutate --seed 20 --count 100
//	go run ./.ci/mutate --package pricing --count 20
//	go run ./.ci/mutate --listed
//
// A fault is caught when the tests of its package, or of those that stand on it,
// fail or take three times as long as without it; what they do not catch is tried
// on a few tests of the program. Faults that change no result stand in equivalent.txt, each with its
// reason; --listed plants those of listed.txt alone and fails on one that is
// not caught.
package main

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// area is a package whose lines get faults.
type area struct {
	folder string
	files  []string // of the package, where only some get faults
}

// areas leaves out the search of estimate/cut: a search that goes another way to
// the same proven cost is no fault.
var areas = []area{
	{folder: "estimate"},
	{folder: "estimate/cut", files: []string{"boardcuts.go", "costtable.go", "cut.go", "grid.go", "instance.go", "offcutitem.go", "pattern.go", "plan.go", "shelf.go"}},
	{folder: "estimate/measure"},
	{folder: "pricing"},
	{folder: "pricing/compare"},
	{folder: "io/intake"},
	{folder: "io/pricelist"},
	{folder: "io/schedule"},
	{folder: "io/sheet"},
}

// program holds the tests that are tried where those of the package catch
// nothing, and quickTests those of a package whose whole tests take long.
const program = "cmd/sillwright"

var quickTests = map[string]string{
	program:        "TestJobs/(duplex|on-hand)$|TestQuotesWithSlips|TestCompareRevisions|TestImportHandover|TestImportCallSizes|TestTenPlantedErrors",
	"estimate/cut": "Worked|Offcut|PiecesPer|Kerf|HeadsAnd|LimitedStock|Nothing|KnownCosts|FactoryEnds|Pairs|Held|Shelves|Alike|Dominated|FirstFit|GoldenPlans",
}

// users are packages whose tests say what another one reads and says, by that one.
var users = map[string][]string{
	"estimate":         {"io/workbook"},
	"estimate/measure": {"estimate"},
	"pricing":          {"pricing/compare"},
	"io/sheet":         {"io/schedule", "io/intake", "io/pricelist"},
}

func main() {
	seed := flag.Uint64("seed", 1, "which faults are chosen")
	count := flag.Int("count", 20, "how many faults to plant, shared among the packages by how many each offers")
	only := flag.String("package", "", "the one package that gets faults, as pricing")
	listed := flag.Bool("listed", false, "plant the faults of listed.txt, and fail on one that is not caught")
	own := flag.Bool("own", false, "leave the tests of the program out: quicker, and what they would catch counts as not caught")
	flag.Parse()
	if err := run(*seed, *count, *only, *listed, *own); err != nil {
		fmt.Fprintf(os.Stderr, "mutate: %v\n", err)
		os.Exit(1)
	}
}

func run(seed uint64, count int, only string, listed, own bool) error {
	equivalent, err := readFaults(".ci/mutate/equivalent.txt")
	if err != nil {
		return err
	}
	var queues []*queue
	if listed {
		queues, err = listedQueues(".ci/mutate/listed.txt")
	} else {
		queues, err = chosenQueues(seed, count, only, equivalent)
	}
	if err != nil {
		return err
	}
	temp, err := os.MkdirTemp("", "mutate-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	if err := tryAll(queues, temp, own); err != nil {
		return err
	}
	return report(queues, listed)
}

// queue is the faults of one package: as many are tried as wanted, and for each
// that does not compile the next.
type queue struct {
	folder     string
	faults     []fault
	wanted     int
	equivalent int // were left out
	tried      []tried
}

// tried is what came of a fault.
type tried struct {
	fault
	by string // what caught it, nothing if it survived
}

// listedQueues makes a queue a package of listed faults, each at the one line
// that holds it.
func listedQueues(file string) ([]*queue, error) {
	list, err := readFaults(file)
	if err != nil {
		return nil, err
	}
	var queues []*queue
	for _, f := range list {
		if f, err = f.found(); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		folder := filepath.Dir(f.file)
		at := slices.IndexFunc(queues, func(q *queue) bool { return q.folder == folder })
		if at < 0 {
			at = len(queues)
			queues = append(queues, &queue{folder: folder})
		}
		queues[at].faults = append(queues[at].faults, f)
		queues[at].wanted++
	}
	return queues, nil
}

// chosenQueues shuffles the faults that each package offers, and shares the
// count among the packages.
func chosenQueues(seed uint64, count int, only string, equivalent []fault) ([]*queue, error) {
	var queues []*queue
	offered := 0
	for _, a := range areas {
		if only != "" && only != a.folder {
			continue
		}
		faults, err := offers(a)
		if err != nil {
			return nil, err
		}
		q := &queue{folder: a.folder}
		for _, f := range faults {
			if slices.ContainsFunc(equivalent, f.same) {
				q.equivalent++
			} else {
				q.faults = append(q.faults, f)
			}
		}
		r := rand.New(rand.NewPCG(seed, 0))
		r.Shuffle(len(q.faults), func(i, j int) { q.faults[i], q.faults[j] = q.faults[j], q.faults[i] })
		offered += len(q.faults)
		queues = append(queues, q)
	}
	if offered == 0 {
		return nil, fmt.Errorf("%q is none of the packages that get faults", only)
	}
	for _, q := range queues {
		q.wanted = max(1, (len(q.faults)*count+offered/2)/offered)
	}
	return queues, nil
}

// tryAll tries the packages side by side, each worker in a copy of its own.
func tryAll(queues []*queue, temp string, own bool) error {
	todo := make(chan *queue, len(queues))
	// The longest first, so that no worker ends long before the others.
	byWork := slices.SortedFunc(slices.Values(queues), func(a, b *queue) int { return b.wanted - a.wanted })
	for _, q := range byWork {
		todo <- q
	}
	close(todo)
	var group sync.WaitGroup
	failed := make([]error, runtime.GOMAXPROCS(0))
	for i := range failed {
		group.Go(func() {
			w := worker{root: filepath.Join(temp, fmt.Sprint(i)), own: own, clean: map[string]time.Duration{}}
			if failed[i] = w.copyTree(); failed[i] != nil {
				return
			}
			for q := range todo {
				if failed[i] = w.try(q); failed[i] != nil {
					return
				}
			}
		})
	}
	group.Wait()
	return errors.Join(failed...)
}

// worker tests faults in its copy of the tree.
type worker struct {
	root  string
	own   bool                     // without the tests of the program
	clean map[string]time.Duration // of a folder: how long its tests take without a fault
}

// copyTree copies the files that git knows, as they are now.
func (w worker) copyTree() error {
	names, err := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard").Output()
	if err != nil {
		return fmt.Errorf("git ls-files: %w", err)
	}
	for _, name := range strings.Split(strings.TrimSuffix(string(names), "\x00"), "\x00") {
		data, err := os.ReadFile(name)
		if errors.Is(err, os.ErrNotExist) {
			continue // removed, but not committed yet
		}
		if err != nil {
			return err
		}
		to := filepath.Join(w.root, name)
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// try plants faults of a queue until as many as wanted compiled.
func (w worker) try(q *queue) error {
	for _, f := range q.faults {
		if len(q.tried) == q.wanted {
			break
		}
		began := time.Now()
		folders := append([]string{q.folder}, users[q.folder]...)
		if !w.own {
			folders = append(folders, program)
		}
		by, compiles := "", true
		for _, folder := range folders {
			var err error
			if by, compiles, err = w.catch(f, folder); err != nil {
				return err
			}
			if by != "" || !compiles {
				break
			}
		}
		if !compiles {
			continue
		}
		q.tried = append(q.tried, tried{f, by})
		fmt.Printf("%s: %s (%.0f s)\n", f, cmp.Or(by, "NOT CAUGHT"), time.Since(began).Seconds())
	}
	return nil
}

// catch plants a fault while the tests of a folder run. It says which of them
// catches it, and whether it compiles.
func (w worker) catch(f fault, folder string) (by string, compiles bool, err error) {
	if err := w.measureClean(folder); err != nil {
		return "", false, err
	}
	file := filepath.Join(w.root, f.file)
	before, err := os.ReadFile(file)
	if err != nil {
		return "", false, err
	}
	if err := os.WriteFile(file, []byte(f.planted(string(before))), 0o644); err != nil {
		return "", false, err
	}
	if _, compiles = w.build(folder); compiles {
		// A few seconds more, for a machine that is busy with something else.
		if said, ok := w.test(folder, 3*w.clean[folder]+5*time.Second); !ok {
			by = "caught by " + failedTest(said) + " of " + folder
		}
	}
	return by, compiles, os.WriteFile(file, before, 0o644)
}

// measureClean times the tests of a folder, which pass while no fault is there.
func (w worker) measureClean(folder string) error {
	if w.clean[folder] > 0 {
		return nil
	}
	if said, ok := w.build(folder); !ok {
		return fmt.Errorf("%s does not compile without a fault:\n%s", folder, said)
	}
	began := time.Now()
	if said, ok := w.test(folder, 10*time.Minute); !ok {
		return fmt.Errorf("the tests of %s fail without a fault:\n%s", folder, said)
	}
	w.clean[folder] = time.Since(began)
	return nil
}

// failedTest returns the name of the test that failed, or that there is none.
func failedTest(said string) string {
	if _, after, ok := strings.Cut(said, "--- FAIL: "); ok {
		return strings.Fields(after)[0]
	}
	if strings.Contains(said, "panic: ") && !strings.Contains(said, "test timed out") {
		return "a panic"
	}
	return "the time limit"
}

// build compiles the tests of a folder.
func (w worker) build(folder string) (said string, ok bool) {
	c := exec.Command("go", "test", "-c", "-o", w.binary(folder), "./"+folder)
	c.Dir = w.root
	out, err := c.CombinedOutput()
	return string(out), err == nil
}

func (w worker) binary(folder string) string {
	return w.root + "-" + strings.ReplaceAll(folder, "/", "-") + ".test"
}

// test runs what was built. A fault may ask for memory without end, so the
// memory is limited too.
func (w worker) test(folder string, limit time.Duration) (said string, ok bool) {
	ctx, cancel := context.WithTimeout(context.Background(), limit+10*time.Second)
	defer cancel()
	c := exec.CommandContext(ctx, "sh", "-c", `ulimit -v 8000000; exec "$@"`, "sh", w.binary(folder),
		"-test.failfast", "-test.timeout", limit.String(), "-test.run", quickTests[folder])
	c.Dir, c.WaitDelay = filepath.Join(w.root, folder), 5*time.Second
	out, err := c.CombinedOutput()
	return string(out), err == nil
}

// report prints the survivors, as they are noted in equivalent.txt, and the rate
// of each package.
func report(queues []*queue, listed bool) error {
	survivors := 0
	fmt.Println()
	for _, q := range queues {
		for _, t := range q.tried {
			if t.by == "" {
				survivors++
				fmt.Printf("%s: not caught\n%s\n- %s\n+ %s\n\n", t, t.file, t.old, t.new)
			}
		}
	}
	fmt.Printf("%-20s %7s %7s %5s %s\n", "package", "planted", "caught", "%", "known to change nothing")
	planted := 0
	for _, q := range queues {
		caught := 0
		for _, t := range q.tried {
			if t.by != "" {
				caught++
			}
		}
		planted += len(q.tried)
		if len(q.tried) < q.wanted && listed {
			return fmt.Errorf("%s: %d of its %d listed faults compile", q.folder, len(q.tried), q.wanted)
		}
		fmt.Printf("%-20s %7d %7d %5.0f %d\n", q.folder, len(q.tried), caught, 100*float64(caught)/float64(max(1, len(q.tried))), q.equivalent)
	}
	fmt.Printf("%-20s %7d %7d\n", "all", planted, planted-survivors)
	if listed && survivors > 0 {
		return fmt.Errorf("%d of the listed faults are not caught", survivors)
	}
	return nil
}
