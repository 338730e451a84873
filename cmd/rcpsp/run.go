package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"chablon/schedule/project"
	"chablon/schedule/psplib"
	"chablon/schedule/race"
	"chablon/schedule/search"
)

const usage = `usage: rcpsp [flags] FILE or FOLDER ...
       rcpsp -generate week|kitchen [-n 20000] [-seed 1]

Plans each file (.sm .mm .rcp .sch .jss .json) for the shortest makespan, or the goals that a
.json file ranks, and prints a JSON object.
Exit status: 0 all files were read and planned, or shown to have no plan, or time was up;
1 a file could not be read or an engine failed; 2 the command line is wrong.

flags:
`

// answer is what is printed for a file. Starts and modes are in the file's numbering, dummies
// included.
type answer struct {
	Instance  string  `json:"instance"`
	Set       string  `json:"set,omitempty"`
	Status    string  `json:"status"`
	Makespan  *int32  `json:"makespan"`
	Lower     *int32  `json:"lower_bound"`      // of the makespan
	Values    []int64 `json:"values,omitempty"` // by goal, if the file ranks goals
	Bounds    []int64 `json:"bounds,omitempty"` // by goal; of those after the first unproved one 0
	Seconds   float64 `json:"seconds"`
	First     float64 `json:"first_seconds,omitempty"`
	Starts    []int32 `json:"starts,omitempty"`
	Modes     []int32 `json:"modes,omitempty"`
	Checked   bool    `json:"checked"`
	directory string
}

type settings struct {
	time           time.Duration
	workers        int
	seed           uint64
	table          bool
	generate       string
	n              int
	stdout, stderr io.Writer
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	s := settings{stdout: stdout, stderr: stderr}
	flags := flag.NewFlagSet("rcpsp", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.Usage = func() { fmt.Fprint(stderr, usage); flags.PrintDefaults() }
	flags.DurationVar(&s.time, "time", 10*time.Second, "wall time for each file")
	flags.IntVar(&s.workers, "workers", 2, "engines at once")
	flags.Uint64Var(&s.seed, "seed", 1, "seed of all random choices")
	flags.BoolVar(&s.table, "table", true, "table of deviations on standard error, for folders with a best_known.csv")
	flags.StringVar(&s.generate, "generate", "", "print a generated problem as JSON: a `week` of production, or a kitchen's day")
	flags.IntVar(&s.n, "n", 20_000, "activities to generate")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	if err := s.wrong(flags.Args()); err != nil {
		fmt.Fprintf(stderr, "rcpsp: %v\n", err)
		return 2
	}
	if s.generate != "" {
		p, err := generators[s.generate](s.n, s.seed)
		if err == nil {
			err = psplib.WriteJSON(stdout, p)
		}
		if err != nil {
			fmt.Fprintf(stderr, "rcpsp: %v\n", err)
			return 2
		}
		return 0
	}
	return s.plan(ctx, flags.Args())
}

var generators = map[string]func(n int, seed uint64) (*project.Problem, error){
	"week": search.Week, "kitchen": search.Kitchen,
}

func (s *settings) wrong(paths []string) error {
	switch {
	case s.time <= 0:
		return fmt.Errorf("-time is %v; more than zero is expected, such as 10s", s.time)
	case s.workers < 1 || s.workers > 64:
		return fmt.Errorf("-workers is %d; from 1 to 64 is expected", s.workers)
	case s.generate != "" && generators[s.generate] == nil:
		return fmt.Errorf("-generate is %q; week or kitchen is expected", s.generate)
	case s.generate == "" && len(paths) == 0:
		return errors.New("no file; name files or folders, or see -help")
	}
	return nil
}

func (s *settings) plan(ctx context.Context, paths []string) int {
	code := 0
	fail := func(err error) {
		fmt.Fprintf(s.stderr, "rcpsp: %v\n", err)
		code = 1
	}
	var answers []answer
	out := json.NewEncoder(s.stdout)
	for _, path := range paths {
		files, err := list(path)
		if err != nil {
			fail(err)
		}
		for _, file := range files {
			if ctx.Err() != nil {
				fail(errors.New("stopped before " + file))
				return code
			}
			a, err := s.one(ctx, file)
			if err != nil {
				fail(err)
				continue
			}
			if err := out.Encode(a); err != nil {
				fail(err)
				return code
			}
			a.Starts, a.Modes = nil, nil
			answers = append(answers, a)
		}
	}
	if s.table && len(answers) > 1 {
		if err := table(s.stderr, answers); err != nil {
			fail(err)
		}
	}
	return code
}

// list returns the files that path names: itself, or those in a folder and below it whose
// ending is known.
func list(path string) ([]string, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return []string{path}, nil
	}
	var files []string
	err = filepath.WalkDir(path, func(file string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && slices.Contains(psplib.Endings, strings.ToLower(filepath.Ext(file))) {
			files = append(files, file)
		}
		return err
	})
	if err == nil && len(files) == 0 {
		err = fmt.Errorf("%s holds no file with one of the endings %s", path, strings.Join(psplib.Endings, " "))
	}
	return files, err
}

func (s *settings) one(ctx context.Context, file string) (answer, error) {
	f, err := os.Open(file)
	if err != nil {
		return answer{}, err
	}
	defer f.Close()
	in, err := psplib.Read(filepath.Base(file), f)
	if err != nil {
		return answer{}, fmt.Errorf("%s: %w", file, err)
	}
	begin := time.Now()
	clock := func() time.Duration { return time.Since(begin) }
	ctx, cancel := context.WithTimeout(ctx, s.time)
	defer cancel()
	res, err := race.Solve(ctx, &in.Problem, race.Options{Workers: s.workers, Seed: s.seed, Clock: clock})
	if err != nil {
		return answer{}, fmt.Errorf("%s: %w", file, err)
	}
	folder := filepath.Dir(file)
	if full, err := filepath.Abs(folder); err == nil {
		folder = full
	}
	a := answer{
		Instance: strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)), Set: filepath.Base(folder),
		Status: res.Status.String(), Seconds: seconds(clock()), directory: folder,
	}
	goals := in.Problem.Goals
	if res.Status != race.Infeasible && (len(goals) == 0 || goals[0].Measure == project.Makespan) {
		lower := int32(res.Lower[0])
		a.Lower = &lower
	}
	if res.Plan.Start == nil {
		return a, nil
	}
	if err := project.Check(&in.Problem, res.Plan); err != nil {
		return answer{}, fmt.Errorf("%s: the plan found breaks the problem: %w", file, err)
	}
	a.Makespan, a.First, a.Checked = &res.Plan.Makespan, seconds(res.First), true
	if len(goals) > 0 {
		a.Values, a.Bounds = res.Value, res.Lower
	}
	a.Starts = in.Starts(res.Plan)
	if in.MultiMode() {
		a.Modes = in.Modes(res.Plan)
	}
	return a, nil
}

// seconds rounds to tenths of a millisecond.
func seconds(d time.Duration) float64 {
	return float64(d.Round(100*time.Microsecond)) / float64(time.Second)
}
