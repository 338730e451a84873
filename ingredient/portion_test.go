package ingredient_test

import (
	"math"
	"testing"

	"chablon/ingredient"
	"chablon/unit"
)

func TestPortion(t *testing.T) {
	t.Parallel()
	const sr = "USDA SR28 household measure"
	tests := []struct {
		id, measure string
		grams       float64
		source      string
	}{
		{"egg-whole", "large", 50, sr + " 01123"},
		{"egg-white", "Large", 33, sr + " 01124"},
		{"egg-yolk", "us-large", 17, sr + " 01125"},
		{"egg-whole", "extra large", 56, sr + " 01123"},
		{"egg-white", "medium", 29.04, "by hand: 44 g of SR28 01123 times 33/50"},
		{"egg-whole", "EU-M", 51, "58 g less 12 %, common practice"},
		{"butter-unsalted", "sticks", 113, sr + " 01145"},
		{"flour-all-purpose", "cups", 125, sr + " 20581"},
		{"butter-unsalted", "tablespoon", 14.2, sr + " 01145"},
		{"vanilla-bean", "bean", 4, "common practice, 3-5 g"},
		{"vanilla-bean", "pods", 4, "common practice, 3-5 g"},
		{"gelatin-leaf-200-bloom", "leaf", 2, "gold: common practice"},
		{"gelatin-leaf-200-bloom", "leaves", 2, "gold: common practice"},
		{"gelatin-leaf-200-bloom", "leaf, silver", 2.5, "common practice"},
		{"gelatin-powder", "envelope", 7, sr + " 19177"},
		{"milk-powder-skim", "cup", 120, sr + " 01091: 30 g in a quarter of a cup"},
		{"salt", "TSP", 6, sr + " 02047"},
	}
	for _, tt := range tests {
		p, ok := entry(t, tt.id).Portion(tt.measure)
		if !ok || math.Abs(p.Mass.Grams()-tt.grams) > 1e-9 {
			t.Errorf("%s: Portion(%q) = %v g of %q, %v; want %v g (%s)", tt.id, tt.measure, p.Mass.Grams(), p.Measure, ok, tt.grams, tt.source)
		}
	}
	for _, measure := range []string{"", " ", "bucket", "cup of tea"} {
		if p, ok := entry(t, "salt").Portion(measure); ok || p.Mass != 0 {
			t.Errorf("salt: Portion(%q) = %+v; want none", measure, p)
		}
	}
}

func TestYield(t *testing.T) {
	t.Parallel()
	trim, ok := entry(t, "egg-whole").Yield("trim")
	if !ok || math.Abs(trim.Kept-0.88) > 1e-12 || trim.Low != trim.Kept || trim.High != trim.Kept { // USDA SR28 01123 refuse
		t.Errorf("egg: trim keeps %+v; want 0.88 without a range", trim)
	}
	juice, ok := entry(t, "lemon").Yield("juice")
	if !ok || math.Abs(juice.Kept-0.439) > 1e-12 { // USDA SR28 09150 and 09152, before the textbook and the recalled figure
		t.Errorf("lemon: juice keeps %+v; want 0.439 of USDA SR28", juice)
	}
	sieved, ok := entry(t, "raspberry").Yield("puree_strained")
	if !ok || sieved.Low != 0.70 || sieved.Kept != 0.78 || sieved.High != 0.85 { // common practice
		t.Errorf("raspberry: strained purée keeps %+v; want 0.78 in 0.70 to 0.85", sieved)
	}
	if _, ok := entry(t, "salt").Yield("trim"); ok {
		t.Error("salt has trim")
	}
}

func TestEggPortion(t *testing.T) {
	t.Parallel()
	white, yolk, whole, shell, ok := ingredient.EggPortion("us-large")
	// USDA SR28 01123 to 01125: 50 = 33 + 17 g; USDA AMS 56: 24 oz a dozen is 56.7 g in the shell.
	for _, m := range []struct {
		what      string
		got, want float64
	}{{"white", white.Grams(), 33}, {"yolk", yolk.Grams(), 17}, {"whole", whole.Grams(), 50}, {"shell", shell.Grams(), 6.7}} {
		if !ok || math.Abs(m.got-m.want) > 1e-9 {
			t.Errorf("us-large: %s %v g, want %v", m.what, m.got, m.want)
		}
	}
	sizes := ingredient.EggSizes()
	if len(sizes) != 9 {
		t.Errorf("%d sizes, want 9", len(sizes))
	}
	for n, s := range sizes {
		if math.Abs(float64(s.White+s.Yolk-s.Whole)) > 1e-12 {
			t.Errorf("%s: white %v and yolk %v are not the whole %v", s.Name, s.White, s.Yolk, s.Whole)
		}
		// Shell 9 to 12 % of the egg as bought (USDA SR28 01123 refuse 12 %; handbooks 9 to 11 %), 1 % for rounding.
		if part := float64(s.Shell / (s.Shell + s.Whole)); part < 0.08 || part > 0.13 {
			t.Errorf("%s: shell is %.3f of the egg", s.Name, part)
		}
		if n > 0 && sizes[n-1].Name[:2] == s.Name[:2] && s.Whole <= sizes[n-1].Whole {
			t.Errorf("%s is not larger than %s", s.Name, sizes[n-1].Name)
		}
	}
	// Regulation (EC) No 589/2008 art. 4: S under 53 g, M 53 to 63, L 63 to 73, XL from 73, in the shell.
	for name, class := range map[string][2]unit.Mass{"eu-s": {0, 53}, "eu-m": {53, 63}, "eu-l": {63, 73}, "eu-xl": {73, 100}} {
		_, _, whole, shell, ok := ingredient.EggPortion(name)
		if g := (whole + shell).Grams(); !ok || g < float64(class[0]) || g >= float64(class[1]) {
			t.Errorf("%s weighs %v g in the shell; its class is %v to %v g", name, g, float64(class[0]), float64(class[1]))
		}
	}
	if _, _, _, _, ok := ingredient.EggPortion("ostrich"); ok {
		t.Error("an ostrich egg is known")
	}
}
