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

var tuneSet = flag.String("tune", "", "set")
var tuneMs = flag.Int("ms", 1000, "ms")
var tuneSkip = flag.Int("every", 1, "every")
var tuneSize = flag.Int("size", 0, "")

func TestTune(t *testing.T) {
	if *tuneSet == "" {
		t.Skip()
	}
	folder := "/work/shared/bench/scheduling"
	f, _ := os.Open(folder + "/best_known.csv")
	rows, _ := csv.NewReader(f).ReadAll()
	best := map[string]int{}
	for _, r := range rows {
		best[r[0]+"/"+r[1]], _ = strconv.Atoi(r[2])
	}
	files, _ := filepath.Glob(folder + "/" + *tuneSet + "/*")
	sum, cnt, work := 0.0, 0, 0
	for k, file := range files {
		if k%*tuneSkip != 0 {
			continue
		}
		fh, _ := os.Open(file)
		var in *psplib.Instance
		var err error
		if strings.HasSuffix(file, ".rcp") {
			in, err = psplib.ReadPatterson(fh)
		} else if strings.HasSuffix(file, ".jss") {
			in, err = psplib.ReadJobShop(fh)
		} else {
			in, err = psplib.ReadPSPLIB(fh)
		}
		fh.Close()
		if err != nil {
			t.Fatal(file, err)
		}
		bk := best[filepath.Base(*tuneSet)+"/"+strings.SplitN(filepath.Base(file), ".", 2)[0]]
		fr := newFrame(&in.Problem)
		w := newPasses(fr)
		w.setModes(make([]int32, fr.n))
		deadline := time.Now().Add(time.Duration(*tuneMs) * time.Millisecond)
		size := *tuneSize
		if size == 0 {
			size = 60
		}
		g := newPopulation(w, newRandom(1), size)
		rules := w.rules()
		for k := 0; k < 2*size; k++ {
			g.seedOne(rules[k%2], k*20/size)
		}
		for time.Now().Before(deadline) && int(g.best) > bk {
			for range 20 {
				g.cross()
			}
		}
		work += w.work
		dev := 100 * (float64(g.best)/float64(bk) - 1)
		if testing.Verbose() && *tuneSkip < 0 {
			t.Log(file, g.best, bk, w.work)
		}
		sum += dev
		cnt++
	}
	t.Logf("%s: %.3f %% over %d, work %d", *tuneSet, sum/float64(cnt), cnt, work)
}
