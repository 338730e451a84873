package fdc_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
)

// The files of a small download in the published layout, columns and their order from memory.
// Figures are those of butter in SR28 01145 or made up; the test works each out by hand from
// these rows.
func small() map[string]string {
	return map[string]string{
		"food.csv": `"fdc_id","data_type","description","food_category_id","publication_date"
"171304","sr_legacy_food","Butter, without ""salt""","1","2019-04-01"
"319877","sub_sample_food","Hummus, sample","16","2019-04-01"
"2346404","foundation_food","Almond flour","12","2022-04-28"
"1097512","survey_fndds_food","Milk, NFS","1002","2021-10-28"
"534358","branded_food","NUT 'N BERRY MIX","","2019-04-01"
"999001","sr_legacy_food","Nothing known","1","2019-04-01"
`,
		"nutrient.csv": `"id","name","unit_name","nutrient_nbr","rank"
"1003","Protein","G","203","600.0"
"1004","Total lipid (fat)","G","204","800.0"
"1005","Carbohydrate, by difference","G","205","1110.0"
"1008","Energy","KCAL","208","300.0"
"1062","Energy","kJ","268","400.0"
"2047","Energy (Atwater General Factors)","KCAL","957","280.0"
"1051","Water","G","255","100.0"
"1093","Sodium, Na","MG","307","5800.0"
"1110","Vitamin D (D2 + D3), International Units","IU","324","8650.0"
"1114","Vitamin D (D2 + D3)","UG","328","8700.0"
"1253","Cholesterol","MG","601","15700.0"
"1162","Vitamin C, total ascorbic acid","MG","401","6300.0"
`,
		"food_nutrient.csv": `"id","fdc_id","nutrient_id","amount","data_points","derivation_id","min","max","median","footnote","min_year_acquired"
"1","171304","1051","17.94","8","1","","","","",""
"2","171304","1004","81.11","0","4","","","","",""
"3","2346404","1003","26.2","8","1","","","","",""
"4","171304","1008","717","0","49","","","","",""
"5","171304","1093","11","0","1","","","","",""
"6","171304","1110","60","0","1","","","","",""
"7","171304","1253","215","0","1","","","","",""
"8","2346404","1062","2500","8","1","","","","",""
"9","2346404","2047","622","8","1","","","","",""
"10","2346404","1005","-0.3","8","1","","","","",""
"11","1097512","203","3.3","0","1","","","","",""
"12","1097512","1162","0.1","0","1","","","","",""
"13","171304","1003","","0","1","","","","",""
"14","534358","1003","12","0","1","","","","",""
`,
		"food_portion.csv": `"id","fdc_id","seq_num","amount","measure_unit_id","portion_description","modifier","gram_weight","data_points","footnote","min_year_acquired"
"1","171304","2","1","9999","","cup","227","","",""
"2","171304","1","1","9999","","pat (1"" sq, 1/3"" high)","5","","",""
"3","2346404","1","0.25","1000","","sifted","22","","",""
"4","1097512","1","","9999","2 tablespoons","10205","30.5","","",""
"5","1097512","2","","9999","Quantity not specified","90000","244","","",""
`,
		"measure_unit.csv":  "\"id\",\"name\"\n\"1000\",\"cup\"\n\"9999\",\"undetermined\"\n",
		"food_category.csv": "\"id\",\"code\",\"description\"\n\"1\",\"0100\",\"Dairy and Egg Products\"\n\"12\",\"1200\",\"Nut and Seed Products\"\n",
	}
}

// pack makes a zip of files in the folder that the download has.
func pack(t testing.TB, files map[string]string) *bytes.Reader {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		w, err := z.Create("FoodData_Central_csv_2024-10-31/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, files[name]); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return bytes.NewReader(b.Bytes())
}

// generated makes a download of so many foods, each with 8 wanted and 80 other figures, which
// is about what SR Legacy has. Where mixed, the rows of a food do not stand together.
func generated(t testing.TB, foods int, mixed bool) *bytes.Reader {
	t.Helper()
	files := small()
	var food, figures, portions strings.Builder
	food.WriteString(`"fdc_id","data_type","description","food_category_id","publication_date"` + "\n")
	figures.WriteString(`"id","fdc_id","nutrient_id","amount","data_points","derivation_id","min","max","median","footnote","min_year_acquired"` + "\n")
	portions.WriteString(`"id","fdc_id","seq_num","amount","measure_unit_id","portion_description","modifier","gram_weight","data_points","footnote","min_year_acquired"` + "\n")
	const perFood = 88
	for k := range foods {
		fmt.Fprintf(&food, "\"%d\",\"sr_legacy_food\",\"Food number %d, made up\",\"1\",\"2019-04-01\"\n", 100_000+k, k)
		fmt.Fprintf(&portions, "\"%d\",\"%d\",\"1\",\"1\",\"1000\",\"\",\"sliced\",\"%d\",\"\",\"\",\"\"\n", k, 100_000+k, 50+k%200)
	}
	ids := []int{1003, 1004, 1005, 1008, 1051, 1093, 1114, 1253}
	row := func(k, n int) {
		id := 1162
		if n < len(ids) {
			id = ids[n]
		}
		fmt.Fprintf(&figures, "\"%d\",\"%d\",\"%d\",\"%d.%d\",\"0\",\"1\",\"\",\"\",\"\",\"\",\"\"\n", k*perFood+n, 100_000+k, id, (k+n)%20, k%10)
	}
	if mixed {
		for n := range perFood {
			for k := range foods {
				row(k, n)
			}
		}
	} else {
		for k := range foods {
			for n := range perFood {
				row(k, n)
			}
		}
	}
	files["food.csv"], files["food_nutrient.csv"], files["food_portion.csv"] = food.String(), figures.String(), portions.String()
	return pack(t, files)
}
