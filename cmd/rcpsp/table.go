package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
)

// known is a row of best_known.csv: set, instance, best_known, lower_bound and so on. Value is
// -1 if the file says infeasible or unknown.
type known struct {
	value      int
	infeasible bool
}

// bestKnown reads the best_known.csv in folder or the nearest above it; nil if there is none.
func bestKnown(folder string) (map[string]known, error) {
	for {
		f, err := os.Open(filepath.Join(folder, "best_known.csv"))
		if err == nil {
			defer f.Close()
			return parseKnown(f)
		}
		up := filepath.Dir(folder)
		if up == folder {
			return nil, nil
		}
		folder = up
	}
}

func parseKnown(r io.Reader) (map[string]known, error) {
	reader := csv.NewReader(r)
	reader.FieldsPerRecord = -1
	rows, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("best_known.csv: %w", err)
	}
	out := map[string]known{}
	for k, row := range rows {
		if len(row) < 3 {
			return nil, fmt.Errorf("best_known.csv: row %d has %d fields; set, instance and best_known are expected", k+1, len(row))
		}
		value, err := strconv.Atoi(strings.TrimSpace(row[2]))
		if err != nil {
			value = -1
		}
		out[row[0]+"/"+row[1]] = known{value, row[2] == "infeasible"}
	}
	return out, nil
}

// tally is a row of the table.
type tally struct {
	set                                           string
	files, plans, optimal, infeasible, equal, gap int
	sum, worst                                    float64
	first                                         []float64
	seconds                                       float64
}

// table prints for every set how many files have a plan or a proof, and the deviation from best
// known values, where the folder or one above it has them.
func table(w io.Writer, answers []answer) error {
	var rows []*tally
	best := map[string]map[string]known{}
	some := false
	for _, a := range answers {
		values, seen := best[a.directory]
		if !seen {
			var err error
			if values, err = bestKnown(a.directory); err != nil {
				return err
			}
			best[a.directory] = values
		}
		some = some || values != nil
		k := slices.IndexFunc(rows, func(t *tally) bool { return t.set == a.Set })
		if k < 0 {
			rows, k = append(rows, &tally{set: a.Set}), len(rows)
		}
		rows[k].add(a, values[a.Set+"/"+a.Instance])
	}
	if !some {
		return nil
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "set\tfiles\tplans\toptimal\tinfeasible\tat best\tmean %\tworst %\tfirst s, 90 %\tseconds\t")
	for _, r := range rows {
		mean, first := "-", "-"
		if r.gap > 0 {
			mean = fmt.Sprintf("%.3f\t%.2f", r.sum/float64(r.gap), r.worst)
		} else {
			mean = "-\t-"
		}
		if len(r.first) > 0 {
			slices.Sort(r.first)
			first = fmt.Sprintf("%.4f", r.first[len(r.first)*9/10])
		}
		fmt.Fprintf(t, "%s\t%d\t%d\t%d\t%d\t%d\t%s\t%s\t%.1f\t\n", r.set, r.files, r.plans, r.optimal, r.infeasible, r.equal, mean, first, r.seconds)
	}
	return t.Flush()
}

func (t *tally) add(a answer, k known) {
	t.files++
	t.seconds += a.Seconds
	if a.Status == "infeasible" {
		t.infeasible++
		return
	}
	if a.Makespan == nil {
		return
	}
	t.plans++
	t.first = append(t.first, a.First)
	if a.Status == "optimal" {
		t.optimal++
	}
	if k.value <= 0 {
		return
	}
	t.gap++
	above := 100 * (float64(*a.Makespan)/float64(k.value) - 1)
	if *a.Makespan <= int32(k.value) {
		t.equal++
	}
	t.sum += above
	t.worst = max(t.worst, above)
}
