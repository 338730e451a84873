module chablon

go 1.26.0

require (
	codeberg.org/go-pdf/fpdf v0.11.1
	github.com/BurntSushi/freetype-go v0.0.0-20160129220410-b763ddbfe298
	github.com/BurntSushi/graphics-go v0.0.0-20160129215708-b43f31a4a966
	github.com/BurntSushi/xgb v0.0.0-20210121224620-deaf085860bc
	github.com/BurntSushi/xgbutil v0.0.0-20190907113008-ad855c713046
	github.com/ByteArena/poly2tri-go v0.0.0-20170716161910-d102ad91854f
	github.com/a-h/templ v0.3.1100
	github.com/alecthomas/kong v1.17.0
	github.com/andybalholm/brotli v1.2.7
	github.com/benoitkugler/textlayout v0.3.1
	github.com/benoitkugler/textprocessing v0.0.3
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/dustin/go-humanize v1.1.0
	github.com/go-fonts/latin-modern v0.3.3
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875
	github.com/go-text/typesetting v0.3.0
	github.com/goccy/go-yaml v1.19.2
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0
	github.com/google/go-cmp v0.7.0
	github.com/google/uuid v1.6.0
	github.com/mattn/go-isatty v0.0.24
	github.com/ncruces/go-strftime v1.1.0
	github.com/remyoudompheng/bigfft v0.0.0-20230129092748-24d4a6f8daec
	github.com/rogpeppe/go-internal v1.16.0
	github.com/srwiley/rasterx v0.0.0-20220730225603-2ab79fcdd4ef
	github.com/srwiley/scanx v0.0.0-20190309010443-e94503791388
	github.com/tdewolff/canvas v0.0.0-20250728095813-50d4cb1eee71
	github.com/tdewolff/font v0.0.0-20250430140153-b654fd8acba3
	github.com/tdewolff/minify/v2 v2.23.4
	github.com/tdewolff/parse/v2 v2.8.0
	golang.org/x/image v0.27.0
	golang.org/x/net v0.62.0
	golang.org/x/sys v0.49.0
	golang.org/x/text v0.43.0
	modernc.org/knuth v0.5.5
	modernc.org/libc v1.80.1
	modernc.org/mathutil v1.7.1
	modernc.org/memory v1.12.1
	modernc.org/sqlite v1.62.0
	modernc.org/token v1.1.0
	pgregory.net/rapid v1.3.0
	star-tex.org/x/tex v0.7.1
)

require golang.org/x/tools v0.52.0 // indirect
