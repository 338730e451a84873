package material

import "chablon/unit"

// FoamTarget is what a foam or batter should weigh when it is ready.
type FoamTarget struct {
	Name    string
	Gravity unit.Range // specific gravity
	Source  string
}

// foamTargets: trade figures and practice. Sources disagree; genoise is 0.35 in some texts.
var foamTargets = [...]FoamTarget{
	{"angel food batter", unit.Range{Low: 0.30, High: 0.30}, tradeFigure},
	{"genoise batter", unit.Range{Low: 0.35, High: 0.50}, tradeFigure + "; the lower end is common practice"},
	{"chiffon batter", unit.Range{Low: 0.40, High: 0.55}, tradeFigure + "; the range is common practice"},
	{"sponge batter", unit.Range{Low: 0.46, High: 0.48}, "baking dictionary"},
	{"joconde batter", unit.Range{Low: 0.40, High: 0.50}, practice},
	{"dacquoise batter", unit.Range{Low: 0.30, High: 0.40}, practice},
	{"layer cake batter", unit.Range{Low: 0.80, High: 0.80}, tradeFigure},
	{"pound cake batter", unit.Range{Low: 0.90, High: 0.90}, tradeFigure},
	{"egg white foam", unit.Range{Low: 0.12, High: 0.17}, "six to eight times its volume"},
	{"french meringue", unit.Range{Low: 0.20, High: 0.30}, practice},
	{"italian meringue", unit.Range{Low: 0.25, High: 0.35}, practice},
	{"swiss meringue", unit.Range{Low: 0.25, High: 0.35}, practice},
	{"whipped cream, soft", unit.Range{Low: 0.50, High: 0.56}, practice},
	{"fruit mousse", unit.Range{Low: 0.55, High: 0.75}, practice},
	{"cream mousse", unit.Range{Low: 0.60, High: 0.83}, practice},
	{"chocolate mousse", unit.Range{Low: 0.60, High: 0.85}, practice},
	{"bavarois", unit.Range{Low: 0.70, High: 0.90}, practice},
	{"sabayon at the ribbon", unit.Range{Low: 0.25, High: 0.45}, practice},
}

const (
	tradeFigure = "trade figures for cake batters"
	practice    = "common practice, no source"
)

// FoamTargets lists the targets.
func FoamTargets() []FoamTarget { return append([]FoamTarget(nil), foamTargets[:]...) }

// FoamTargetNamed returns the target of that name: "genoise batter".
func FoamTargetNamed(name string) (FoamTarget, bool) {
	for _, f := range foamTargets {
		if f.Name == name {
			return f, true
		}
	}
	return FoamTarget{}, false
}
