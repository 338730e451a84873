package search

import (
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"chablon/schedule/psplib"
)

var (
	tuneSet  = flag.String("tune", "", "set")
	tuneMs   = flag.Int("ms", 1000, "ms")
	tuneSkip = flag.Int("every", 1, "every")
	tuneSize = flag.Int("size", 0, "")
)

func tuneFiles(t *testing.T, each func(file string, in *psplib.Instance, best int)) {
	if *tuneSet == "" {
		t.Skip()
	}
	folder := "/work/shared/bench/scheduling"
	f, _ := os.Open(folder + "/best_known.csv")
	rows, _ := csv.NewReader(f).ReadAll()
	best := map[string]int{}
	for _, r := range rows {
		n, err := strconv.Atoi(r[2])
		if r[2] == "unknown" {
			n = -1
		} else if err != nil {
			n = 0
		}
		best[r[0]+"/"+r[1]] = n
	}
	files, _ := filepath.Glob(folder + "/" + *tuneSet + "/*")
	for k, file := range files {
		if k%*tuneSkip != 0 {
			continue
		}
		fh, _ := os.Open(file)
		var in *psplib.Instance
		var err error
		switch filepath.Ext(file) {
		case ".rcp":
			in, err = psplib.ReadPatterson(fh)
		case ".jss":
			in, err = psplib.ReadJobShop(fh)
		case ".sch":
			in, err = psplib.ReadProGenMax(fh)
		default:
			in, err = psplib.ReadPSPLIB(fh)
		}
		fh.Close()
		if err != nil {
			t.Fatal(file, err)
		}
		each(file, in, best[filepath.Base(filepath.Dir(file))+"/"+strings.SplitN(filepath.Base(file), ".", 2)[0]])
	}
}

func TestTuneLags(t *testing.T) {
	sum, cnt, work := 0.0, 0, 0
	tuneFiles(t, func(file string, in *psplib.Instance, bk int) {
		if bk == 0 {
			return
		}
		begin := time.Now()
		fr := newFrame(&in.Problem)
		mp := mirror(&in.Problem)
		s := newSqueaky(fr, newFrame(mp), make([]int32, fr.n), newRandom(1))
		end := begin.Add(time.Duration(*tuneMs) * time.Millisecond)
		stop := func() bool { return time.Now().After(end) }
		s.ahead.stop, s.back.stop = stop, stop
		first := time.Duration(0)
		bl := newBlocks(fr, make([]int32, fr.n), newRandom(2))
		if bl != nil {
			for _, k := range bl.list {
				if k.alone != nil {
					k.alone.ahead.stop, k.alone.back.stop = stop, stop
				}
			}
		}
		first0 := int32(0)
		for time.Now().Before(end) && !s.dead && int(s.best) != bk {
			if b := bl; b != nil && s.best > s.horizon && s.tries > 4 {
				if b.try() {
					st, la := b.compose(s.ahead, s.ahead.ls0)
					t.Log("composed", la, time.Since(begin), s.found(st, la))
				}
			} else {
				s.try()
			}
			if s.best <= s.horizon && first == 0 {
				first = time.Since(begin)
				first0 = s.best
			}
		}
		if bl != nil && s.best > s.horizon {
			for _, k := range bl.list {
				if k.start == nil {
					t.Log("no pattern", len(k.ids), k.alone.tries)
				}
			}
		}
		dev := 100 * (float64(s.best)/float64(bk) - 1)
		t.Logf("%s n %d first %v (%d) best %d known %d dev %.2f tries %d", filepath.Base(filepath.Dir(file))+"/"+filepath.Base(file), fr.n, first.Round(10*time.Microsecond), first0, s.best, bk, dev, s.tries)
		if s.best <= s.horizon {
			sum += dev
			cnt++
		}
		work += s.tries
	})
	t.Logf("%s: %.3f %% over %d, work %d", *tuneSet, sum/float64(cnt), cnt, work)
}

func TestTune(t *testing.T) {
	sum, cnt, work := 0.0, 0, 0
	tuneFiles(t, func(file string, in *psplib.Instance, bk int) {
		fr := newFrame(&in.Problem)
		deadline := time.Now().Add(time.Duration(*tuneMs) * time.Millisecond)
		e := newEvolution(fr, newRandom(1))
		if *tuneSize > 0 {
			e.size = *tuneSize
		}
		for time.Now().Before(deadline) && int(e.best) > bk {
			for range 20 {
				e.try()
			}
		}
		work += e.w.work
		sum += 100 * (float64(e.best)/float64(bk) - 1)
		cnt++
	})
	t.Logf("%s: %.3f %% over %d, work %d", *tuneSet, sum/float64(cnt), cnt, work)
}
