package document

import "chablon/unit"

// SchemaVersion is the number of the published document schema that this program writes.
const SchemaVersion = 1

// Head is what every document has.
type Head struct {
	Kind     string     `doc:"kind,required" help:"what the document is"`
	ID       string     `doc:"id,required" pattern:"id" help:"short name, unique within its kind: lower-case letters, digits and hyphens"`
	Version  int        `doc:"version" help:"number of this version; set by the store" min:"0"`
	Schema   int        `doc:"schema" help:"number of the document schema, 1" min:"0" max:"1"`
	Name     string     `doc:"name" help:"what the cook calls it"`
	Notes    string     `doc:"notes" help:"free text"`
	Pictures []Picture  `doc:"pictures" help:"pictures by the hash of their content"`
	Accepted []Accepted `doc:"accepted" help:"checks that the cook has accepted, with the reason"`
}

// Header returns the document's head.
func (h *Head) Header() *Head { return h }

// Picture names a stored picture by its content.
type Picture struct {
	Hash string `doc:"hash,required" help:"SHA-256 of the file, in hexadecimal"`
	Alt  string `doc:"alt,required" help:"what the picture shows, for those who cannot see it"`
}

// Accepted records that the cook has accepted a check.
type Accepted struct {
	Rule   string `doc:"rule,required" help:"code of the check"`
	Where  string `doc:"where" help:"the part of the document, if not all of it"`
	Reason string `doc:"reason,required" help:"why it is accepted"`
}

// Ref names another document: an id (its latest version) or id@version.
type Ref string

// Figure is a quantity with what is known of its spread. In a document it may be written as
// the quantity alone.
type Figure struct {
	Value  unit.Quantity `doc:"value,required,short" help:"the usual value"`
	Low    unit.Quantity `doc:"low" help:"lower end of the spread"`
	High   unit.Quantity `doc:"high" help:"upper end of the spread"`
	Covers unit.Quantity `doc:"covers" dim:"share" help:"share of cases that the spread covers; 90 % if not said"`
	Scope  string        `doc:"scope" enum:"piece batch mould always" help:"what shares one deviation"`
	From   string        `doc:"from" enum:"default record cook" help:"where the spread is from"`
	Source string        `doc:"source" help:"where the value is from"`
}

// Kitchen is where the work is done.
type Kitchen struct {
	Head
	TimeZone    string        `doc:"time_zone" help:"IANA time zone, such as Europe/Lisbon"`
	Altitude    unit.Quantity `doc:"altitude" dim:"length" help:"above sea level"`
	Room        Figure        `doc:"room" dim:"temperature" help:"room temperature"`
	Scales      []Scale       `doc:"scales" help:"scales, finest first"`
	Units       string        `doc:"units" enum:"metric us both" help:"units shown"`
	Currency    string        `doc:"currency" help:"ISO 4217 code"`
	Confidence  unit.Quantity `doc:"confidence" dim:"share" help:"how sure the amounts to make must be; 95 % if not said"`
	EggSize     string        `doc:"egg_size" enum:"us-medium us-large us-extra-large eu-s eu-m eu-l eu-xl" help:"egg that is bought"`
	HourlyCost  float64       `doc:"hourly_cost" min:"0" help:"cost of an hour of work, in the currency"`
	People      []Person      `doc:"people"`
	Closed      []string      `doc:"closed" help:"weekdays (sunday) or dates (2026-12-25) on which nobody works"`
	Equipment   []Equipment   `doc:"equipment"`
	MouldsOwned []MouldsOwned `doc:"moulds"`
}

// Scale is a weighing scale.
type Scale struct {
	Division unit.Quantity `doc:"division,required" dim:"mass" help:"smallest step shown"`
	UpTo     unit.Quantity `doc:"up_to" dim:"mass" help:"greatest load"`
}

// Person works in the kitchen.
type Person struct {
	ID     string   `doc:"id,required" pattern:"id"`
	Name   string   `doc:"name"`
	Skills []string `doc:"skills" help:"words that steps may ask for"`
	Shifts []Shift  `doc:"shifts" help:"hours of work; all day if none is given"`
	Breaks []Shift  `doc:"breaks"`
}

// Shift is a stretch of hours on some weekdays.
type Shift struct {
	Days []string `doc:"days" help:"weekdays, all if none is given"`
	From string   `doc:"from,required" pattern:"clock" help:"clock time, 07:30"`
	To   string   `doc:"to,required" pattern:"clock" help:"clock time, 15:00"`
}

// Equipment is something that a step needs for itself.
type Equipment struct {
	ID               string        `doc:"id,required" pattern:"id"`
	Name             string        `doc:"name"`
	Kind             string        `doc:"kind,required" enum:"oven mixer bowl burner pot freezer blast-freezer refrigerator ice-bath water-bath blender microwave sheet mat rack counter other"`
	Count            int           `doc:"count" min:"1" max:"1000" help:"how many; 1 if not said"`
	Volume           unit.Quantity `doc:"volume" dim:"volume" help:"capacity of a bowl or pot"`
	Trays            int           `doc:"trays" min:"0" max:"1000" help:"trays that fit at once"`
	ShelfArea        unit.Quantity `doc:"shelf_area" dim:"area" help:"area of one shelf"`
	ShelfHeight      unit.Quantity `doc:"shelf_height" dim:"length" help:"free height over a shelf"`
	LeastFill        unit.Quantity `doc:"least_fill" dim:"share" help:"least share of the capacity that works"`
	Lowest           unit.Quantity `doc:"lowest" dim:"temperature" help:"lowest setting"`
	Highest          unit.Quantity `doc:"highest" dim:"temperature" help:"highest setting"`
	Setting          Figure        `doc:"setting" dim:"temperature" help:"usual setting, for what is always on"`
	Air              string        `doc:"air" enum:"still fan blast plate" help:"how the air moves"`
	Transfer         float64       `doc:"transfer" min:"0" max:"100000" help:"surface heat transfer coefficient, W/(m² K), where measured; the newest of the calibrations goes before it"`
	Calibrations     []Calibration `doc:"calibrations" help:"what probe readings told of it, day by day"`
	HeatUp           unit.Quantity `doc:"heat_up" dim:"time"`
	CoolDown         unit.Quantity `doc:"cool_down" dim:"time"`
	FreezingCapacity unit.Quantity `doc:"freezing_capacity" dim:"mass" help:"mass it freezes in 24 hours, as the maker states"`
	Cleaning         unit.Quantity `doc:"cleaning" dim:"time" help:"between two uses"`
}

// Calibration is what probe readings told of a place on a day.
type Calibration struct {
	Date             string    `doc:"date,required" pattern:"date"`
	Transfer         float64   `doc:"transfer,required" min:"0" max:"100000" help:"surface heat transfer coefficient, W/(m² K)"`
	TransferLow      float64   `doc:"transfer_low" min:"0" max:"100000" help:"it lies from here two times out of three"`
	TransferHigh     float64   `doc:"transfer_high" min:"0" max:"100000" help:"to here"`
	Conductivity     float64   `doc:"conductivity" min:"0" max:"20" help:"by how many times the foods conducted better than computed, where that was asked too"`
	ConductivityLow  float64   `doc:"conductivity_low" min:"0" max:"20"`
	ConductivityHigh float64   `doc:"conductivity_high" min:"0" max:"20"`
	Piece            string    `doc:"piece" help:"id of the assembly that was probed"`
	Readings         []Reading `doc:"readings"`
	Note             string    `doc:"note"`
}

// Reading is a temperature read in a piece.
type Reading struct {
	After       unit.Quantity `doc:"after,required" dim:"time" help:"how long after it went in"`
	Temperature unit.Quantity `doc:"temperature,required" dim:"temperature"`
}

// MouldsOwned says how many of a mould there are.
type MouldsOwned struct {
	Mould Ref `doc:"mould,required"`
	Count int `doc:"count" min:"0" max:"100000" help:"1 if not said"`
}

// Ingredient is something bought. It overrides or adds to the built-in table.
type Ingredient struct {
	Head
	Names       []Name    `doc:"names" help:"what it is called, by language"`
	Group       string    `doc:"group"`
	Like        string    `doc:"like" help:"id of an ingredient whose figures fill what is not given here"`
	Composition []Share   `doc:"composition" help:"what it is made of"`
	Density     Figure    `doc:"density" dim:"density"`
	Portions    []Portion `doc:"portions" help:"masses of counted pieces and measures"`
	Yields      []Yield   `doc:"yields" help:"what is kept by a preparation"`
	Contains    []string  `doc:"contains" help:"allergens it contains"`
	MayContain  []string  `doc:"may_contain" help:"allergens of which traces may be there"`
	Traits      []Trait   `doc:"traits"`
	Packs       []string  `doc:"packs" help:"sizes in which it is sold, such as 1 kg"`
	Unlimited   bool      `doc:"unlimited" help:"true for water from the tap: not bought"`
}

// Name is a name in a language.
type Name struct {
	Language string `doc:"language,required" help:"BCP 47 tag: en-US, fr"`
	Text     string `doc:"text,required"`
}

// Share is one component of a composition.
type Share struct {
	Component string  `doc:"component,required" help:"water, protein, fat, carbohydrate, fibre, sugars …"`
	Per100g   float64 `doc:"g_per_100_g,required" min:"0" max:"100" help:"a component that is not listed is unknown, not zero"`
	Source    string  `doc:"source" help:"where the figure is from"`
}

// Portion is the mass of a counted piece or of a measure.
type Portion struct {
	Measure string `doc:"measure,required" help:"leaf, large, bunch, cup …"`
	Mass    Figure `doc:"mass,required" dim:"mass"`
}

// Yield is what a preparation keeps.
type Yield struct {
	Process string `doc:"process,required" help:"peeled, pitted, puréed …"`
	Kept    Figure `doc:"kept,required" dim:"share"`
}

// Trait is a property that rules need, such as the Bloom grade of a gelatin.
type Trait struct {
	Name   string  `doc:"name,required" enum:"bloom enzyme whipping-fat cocoa cocoa-butter dry-cocoa milk-fat pasteurised alcohol acid leavener dextrose-equivalent raw-egg"`
	Value  float64 `doc:"value"`
	Source string  `doc:"source"`
}

// Price is what a supplier asks.
type Price struct {
	Head
	Ingredient Ref           `doc:"ingredient,required"`
	Supplier   string        `doc:"supplier"`
	Pack       unit.Quantity `doc:"pack,required" dim:"mass volume count"`
	Price      string        `doc:"price,required" pattern:"money" help:"decimal number, in the kitchen's currency"`
	From       string        `doc:"from" pattern:"date" help:"first day on which it holds"`
}

// Stock is what is there.
type Stock struct {
	Head
	Ingredient Ref           `doc:"ingredient"`
	Component  Ref           `doc:"component"`
	Assembly   Ref           `doc:"assembly"`
	Mould      Ref           `doc:"mould"`
	Amount     unit.Quantity `doc:"amount,required" dim:"mass volume count"`
	Made       string        `doc:"made" pattern:"time"`
	Received   string        `doc:"received" pattern:"time"`
	UseBy      string        `doc:"use_by" pattern:"time"`
	Place      string        `doc:"place"`
}

// Formula is how one component is made.
type Formula struct {
	Head
	Type     string        `doc:"type" help:"sponge, mousse, glaze …; see the list of types"`
	EggSize  string        `doc:"egg_size" enum:"us-medium us-large us-extra-large eu-s eu-m eu-l eu-xl" help:"egg that the lines mean"`
	Base     string        `doc:"base" help:"line that is 100 % in baker's percentages"`
	Lines    []Line        `doc:"lines" help:"lines that belong to no group"`
	Groups   []Group       `doc:"groups"`
	Steps    []Step        `doc:"steps"`
	Lags     []Lag         `doc:"lags" help:"waits between steps beyond their order"`
	Losses   []Loss        `doc:"losses"`
	Air      Air           `doc:"air"`
	Density  Figure        `doc:"density" dim:"density" help:"of the finished component, where measured"`
	Holds    []Hold        `doc:"holds"`
	Least    unit.Quantity `doc:"least_batch" dim:"mass volume"`
	Most     unit.Quantity `doc:"most_batch" dim:"mass volume"`
	MadeIn   string        `doc:"made_in" enum:"bowl pot sheet mould" help:"what one batch fills"`
	Whole    bool          `doc:"whole" help:"true if the formula is made as written or in whole multiples only"`
	Reusable bool          `doc:"reusable" help:"true if a remainder can be used another day"`
}

// Group is a part of a formula with a heading of its own.
type Group struct {
	Name  string `doc:"name,required"`
	Lines []Line `doc:"lines,required"`
}

// Line is one line of a formula. It may be written as its text alone: "125 g almond flour".
type Line struct {
	Text         string         `doc:"text,required,short" help:"as the cook writes it"`
	ID           string         `doc:"id" pattern:"id"`
	Of           Ref            `doc:"of" help:"ingredient or formula, where the text does not say which"`
	Preparation  string         `doc:"preparation"`
	Alternatives []string       `doc:"alternatives"`
	Optional     bool           `doc:"optional"`
	ToTaste      bool           `doc:"to_taste"`
	Divided      []DividedShare `doc:"divided" help:"how the line is shared among steps"`
}

// DividedShare gives a step its share of a line.
type DividedShare struct {
	Step  string        `doc:"step,required"`
	Share unit.Quantity `doc:"share,required" dim:"share"`
}

// Step is one thing to do.
type Step struct {
	ID            string        `doc:"id,required" pattern:"id"`
	Verb          string        `doc:"verb,required" help:"whip, fold, bake, freeze …"`
	Text          string        `doc:"text" help:"the instruction in a sentence or two"`
	Takes         []string      `doc:"takes" help:"lines, groups or steps whose output goes in"`
	After         []string      `doc:"after" help:"steps, of this or a component's formula (formula/step), that must be over"`
	People        int           `doc:"people" min:"0" max:"20" help:"1 if not said and there is active time"`
	Skill         string        `doc:"skill"`
	Active        Work          `doc:"active" help:"time with hands"`
	Waiting       Figure        `doc:"waiting" dim:"time" help:"time without hands"`
	Computed      string        `doc:"computed" enum:"freeze chill thaw set cool" help:"waiting that physics computes"`
	Modes         []Mode        `doc:"modes" help:"ways of doing it, the first is the usual one"`
	TemperatureIn unit.Quantity `doc:"temperature_in" dim:"temperature"`
	Temperature   unit.Quantity `doc:"temperature" dim:"temperature" help:"at the end of the step"`
	Cue           string        `doc:"cue" help:"what to see, hear, feel"`
	Why           string        `doc:"why"`
	Wrong         string        `doc:"wrong" help:"what goes wrong"`
	Rescue        string        `doc:"rescue" help:"what puts it right"`
	Caution       string        `doc:"caution"`
	Hazards       []string      `doc:"hazards" enum:"raw-egg cooling hot-sugar torch allergen alcohol cold-burn steam blade hot-surface" help:"cautions that the sheet prints in full"`
	Picture       string        `doc:"picture"`
	Interruptible bool          `doc:"interruptible"`
	PerPiece      bool          `doc:"per_piece" help:"true if pieces go one after the other"`
	Gives         Gives         `doc:"gives"`
}

// Work is time with hands: fixed, and growing with the batch.
type Work struct {
	Fixed    Figure `doc:"fixed,short" dim:"time"`
	PerKg    Figure `doc:"per_kg" dim:"time"`
	PerPiece Figure `doc:"per_piece" dim:"time"`
}

// Mode is one way of doing a step.
type Mode struct {
	Equipment  []string      `doc:"equipment,required" help:"ids or kinds of equipment, all needed together"`
	Setting    unit.Quantity `doc:"setting" dim:"temperature"`
	TimeFactor float64       `doc:"time_factor" min:"0" max:"100" help:"1 if not said"`
	Trays      int           `doc:"trays" min:"0" max:"1000" help:"room taken, in trays"`
}

// Gives is what a step hands on.
type Gives struct {
	Output string `doc:"output"`
	Mass   string `doc:"mass" help:"rule for its mass: all, rest, or the name of a loss"`
}

// Lag is a wait between two steps.
type Lag struct {
	From    StepEnd       `doc:"from,required"`
	To      StepEnd       `doc:"to,required"`
	AtLeast unit.Quantity `doc:"at_least" dim:"time"`
	AtMost  unit.Quantity `doc:"at_most" dim:"time"`
	Clock   string        `doc:"clock" enum:"clock working"`
	Band    unit.Quantity `doc:"band" dim:"temperature" help:"temperature band that decides the wait instead"`
	Reason  string        `doc:"reason"`
}

// StepEnd is the start or the end of a step.
type StepEnd struct {
	Step string `doc:"step,required,short" help:"step, or formula/step"`
	At   string `doc:"at" enum:"start end" help:"end for from, start for to, if not said"`
}

// Loss is matter that does not reach the finished component.
type Loss struct {
	Name     string        `doc:"name,required" enum:"trim bowl transfer evaporation bake sieve piping other"`
	Share    Figure        `doc:"share" dim:"share" help:"of what goes into the step that loses it"`
	PerBatch Figure        `doc:"per_batch" dim:"mass" help:"mass left behind by each batch"`
	ToMass   unit.Quantity `doc:"to_mass" dim:"mass" help:"reduced until the formula as written weighs this"`
	ToBrix   float64       `doc:"to_brix" min:"0" max:"95" help:"reduced to this share of dissolved solids, °Bx"`
	Step     string        `doc:"step"`
}

// Air is how much gas a mix holds.
type Air struct {
	SpecificGravity Figure   `doc:"specific_gravity" dim:"count" help:"mass of a volume over that of as much water"`
	Overrun         Figure   `doc:"overrun" dim:"share" help:"gain in volume of the whipped part"`
	Whipped         []string `doc:"whipped" help:"lines, groups or formulas that are whipped; all if none is given"`
	FoldingLoss     Figure   `doc:"folding_loss" dim:"share" help:"share of the gas lost by folding"`
}

// Hold is how long a component keeps in a place.
type Hold struct {
	Place   string        `doc:"place,required" enum:"room refrigerator freezer"`
	Safety  unit.Quantity `doc:"safety" dim:"time" help:"limit from the food code"`
	Quality unit.Quantity `doc:"quality" dim:"time" help:"limit from practice"`
	Source  string        `doc:"source"`
}

// Assembly is layers laid in order into a mould.
type Assembly struct {
	Head
	Laid     string   `doc:"laid" enum:"upright inverted" help:"upright if not said"`
	Mould    Ref      `doc:"mould,required" help:"the mould it was thought for"`
	Moulds   []Ref    `doc:"moulds" help:"moulds that it may be made in"`
	Layers   []Layer  `doc:"layers,required" help:"in the order of laying"`
	Portions Portions `doc:"portions"`
	Steps    []Step   `doc:"steps" help:"assembling, finishing, unmoulding, thawing, packing"`
	Lags     []Lag    `doc:"lags"`
	Holds    []Hold   `doc:"holds"`
}

// Portions says how a piece is shared.
type Portions struct {
	Rule  string        `doc:"rule" enum:"whole wedges squares slices"`
	Count int           `doc:"count" min:"0" max:"10000" help:"portions of one piece"`
	Size  unit.Quantity `doc:"size" dim:"length volume mass" help:"of one portion, instead of a count"`
}

// Layer is one part of an assembly.
type Layer struct {
	ID         string        `doc:"id,required" pattern:"id"`
	Kind       string        `doc:"kind,required" enum:"base disc insert fill band spread soak coat decor"`
	Name       string        `doc:"name"`
	Of         Of            `doc:"of,required" help:"what it is made of"`
	MadeIn     Ref           `doc:"made_in" help:"mould or sheet that it is baked, frozen or cut from"`
	Outline    Outline       `doc:"outline"`
	Thickness  Figure        `doc:"thickness" dim:"length"`
	Level      Figure        `doc:"level" dim:"length" help:"height of its upper face over the bottom"`
	BelowRim   unit.Quantity `doc:"below_rim" dim:"length" help:"its upper face, measured down from the rim"`
	Offset     unit.Quantity `doc:"offset" dim:"length" help:"height of its lower face, where not simply on what lies below"`
	TurnedOver bool          `doc:"turned_over" help:"true if an insert is laid the other way up than it was made"`
	On         string        `doc:"on" help:"layer that a spread, soak or décor belongs to; the one before if not said"`
	Stages     []Stage       `doc:"stages" help:"a fill that goes in at several times"`
	Nozzle     unit.Quantity `doc:"nozzle" dim:"length" help:"diameter of the piping nozzle"`
	Band       Band          `doc:"band"`
	Soak       Soak          `doc:"soak"`
	Coat       Coat          `doc:"coat"`
	Pieces     int           `doc:"pieces" min:"0" max:"100000" help:"décor: how many on one piece"`
	Each       Figure        `doc:"each" dim:"mass" help:"décor: mass of one, where not an ingredient's portion"`
	Joined     bool          `doc:"joined" help:"true if it may be joined from trimmings"`
	Overrides  []Override    `doc:"overrides" help:"what differs in one mould"`
}

// Of is what a layer is made of: exactly one of its fields. A text alone is the id of a formula.
type Of struct {
	Formula    Ref    `doc:"formula,short"`
	Assembly   Ref    `doc:"assembly"`
	Ingredient Ref    `doc:"ingredient"`
	StandIn    string `doc:"stand_in" help:"name of a component that has no formula yet"`
	Density    Figure `doc:"density" dim:"density" help:"of the stand-in"`
}

// Outline says what a cut or moulded piece looks like from above: exactly one of its fields,
// as the mould if none is given.
type Outline struct {
	Inset    unit.Quantity `doc:"inset" dim:"length" help:"in from the mould's wall"`
	Diameter unit.Quantity `doc:"diameter" dim:"length"`
	Width    unit.Quantity `doc:"width" dim:"length"`
	Depth    unit.Quantity `doc:"depth" dim:"length"`
	Corner   unit.Quantity `doc:"corner" dim:"length"`
	Path     string        `doc:"path" help:"SVG path data, in millimetres"`
}

// Stage is one filling of a fill that goes in at several times; the last stage reaches the
// fill's own level.
type Stage struct {
	After string        `doc:"after" help:"layer that is laid before it"`
	Level unit.Quantity `doc:"level" dim:"length"`
	Share unit.Quantity `doc:"share" dim:"share" help:"of the fill, instead of a level"`
}

// Band is a strip round the inner wall.
type Band struct {
	Height  unit.Quantity `doc:"height" dim:"length"`
	Pieces  int           `doc:"pieces" min:"0" max:"100" help:"strips it is pieced from; 1 if not said"`
	Joint   string        `doc:"joint" enum:"overlap butt"`
	Overlap unit.Quantity `doc:"overlap" dim:"length"`
}

// Soak is a mass taken up by a disc.
type Soak struct {
	PerArea Figure `doc:"per_area" dim:"load"`
	Share   Figure `doc:"share" dim:"share" help:"of the disc's mass"`
}

// Coat is a layer over the piece or flooded into the mould.
type Coat struct {
	Way    string        `doc:"way" enum:"flood pour dip spray brush"`
	When   string        `doc:"when" enum:"in-mould unmoulded frozen"`
	Film   Figure        `doc:"film" dim:"length" help:"thickness that stays; a flooded coat uses level, thickness or below_rim"`
	Least  unit.Quantity `doc:"least" dim:"mass" help:"least in hand to pour one piece well"`
	Stays  unit.Quantity `doc:"stays" dim:"share" help:"share of what is poured that stays on the piece"`
	Reused bool          `doc:"reused" help:"true if the run-off is poured again"`
}

// Override is what differs in one mould.
type Override struct {
	Mould     Ref           `doc:"mould,required"`
	Thickness unit.Quantity `doc:"thickness" dim:"length"`
	Level     unit.Quantity `doc:"level" dim:"length"`
	BelowRim  unit.Quantity `doc:"below_rim" dim:"length"`
	Offset    unit.Quantity `doc:"offset" dim:"length"`
	Height    unit.Quantity `doc:"height" dim:"length" help:"of a band"`
	Inset     unit.Quantity `doc:"inset" dim:"length"`
	Diameter  unit.Quantity `doc:"diameter" dim:"length"`
	MadeIn    Ref           `doc:"made_in"`
	Pieces    int           `doc:"pieces" min:"0" max:"100000"`
}

// Order is what has to be ready, and when.
type Order struct {
	Head
	Due      string      `doc:"due,required" pattern:"time" help:"local time in the kitchen's zone: 2026-12-05 18:00"`
	For      string      `doc:"for" enum:"customer stock"`
	Lines    []OrderLine `doc:"lines,required"`
	Priority int         `doc:"priority" min:"0" max:"100"`
}

// OrderLine is so many of an assembly in a mould.
type OrderLine struct {
	Assembly Ref       `doc:"assembly,required"`
	Mould    Ref       `doc:"mould" help:"the assembly's own if not said"`
	Pieces   int       `doc:"pieces,required" min:"1" max:"100000"`
	Scaling  string    `doc:"scaling" enum:"same-thickness proportional height"`
	Variants []Variant `doc:"variants" help:"components exchanged for this line"`
	Price    string    `doc:"price" pattern:"money"`
}

// Variant exchanges a component.
type Variant struct {
	Layer string `doc:"layer,required"`
	Of    Of     `doc:"of,required"`
}

// Day is an issued plan with the versions it was made from.
type Day struct {
	Head
	Issued   string `doc:"issued,required" pattern:"time"`
	Orders   []Ref  `doc:"orders,required"`
	Versions []Ref  `doc:"versions" help:"every document used, with its version"`
	Engine   string `doc:"engine" help:"version of the program"`
	Plan     string `doc:"plan" help:"hash of the stored plan"`
	Pins     []Pin  `doc:"pins"`
}

// Pin fixes a step.
type Pin struct {
	Step      string `doc:"step,required"`
	Time      string `doc:"time" pattern:"time"`
	Person    string `doc:"person"`
	Equipment string `doc:"equipment"`
}

// Record is something that happened. Records are only ever added.
type Record struct {
	Head
	When     string        `doc:"when,required" pattern:"time"`
	Who      string        `doc:"who"`
	Of       RecordOf      `doc:"of,required"`
	What     string        `doc:"what,required" enum:"weighed temperature specific-gravity brix level started done discarded tasted"`
	Value    unit.Quantity `doc:"value" dim:"any"`
	Text     string        `doc:"text"`
	Picture  string        `doc:"picture"`
	Corrects string        `doc:"corrects" help:"id of the record that this one replaces"`
}

// RecordOf is what a record is about.
type RecordOf struct {
	Day   Ref    `doc:"day"`
	Batch string `doc:"batch"`
	Step  string `doc:"step"`
	Piece string `doc:"piece"`
}
