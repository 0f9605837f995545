package wording

// Field is what a field of a form asks for.
type Field struct {
	Label string
	Hint  string
	Blank string // of a choice: what none of them means; empty where one must be chosen
}

// OfField returns the words of a field of a place by its type and its name in a place
// file, such as Machine.pump; empty where there are none.
func OfField(name string) Field { return fieldWords[name] }

// OfChoice returns what a choice of a field of a place is, such as Grinder.drive/hand;
// empty where its word in a place file says it by itself.
func OfChoice(name string) string { return choiceWords[name] }

// fieldWords has the words of each field, by its type and its name in a place file.
var fieldWords = map[string]Field{
	"Equipment.name":         {Label: "Name", Hint: "for people; it may change at any time"},
	"Equipment.serial":       {Label: "Serial number", Hint: "on its plate; may be left open"},
	"Equipment.bought":       {Label: "The day it came to you", Hint: "its parts were new then, unless it came used"},
	"Equipment.used":         {Label: "It was not new when it came"},
	"Equipment.made":         {Label: "The day it was made", Hint: "where it came used; its plate or papers may tell"},
	"Equipment.looked_after": {Label: "Looked after up to", Hint: "up to this day all that is done at least once a year counts as done"},
	"Equipment.records_from": {Label: "Written down from", Hint: "from this day on all that is done to it is written down"},
	"Equipment.past":         {Label: "What is known of a part’s past"},

	"Past.of":     {Label: "Of", Blank: "all of it"},
	"Past.state":  {Label: "It", Blank: "is as the rest"},
	"Past.on":     {Label: "New on, or cared for up to"},
	"Past.looked": {Label: "When last seen it looked", Blank: "nobody looked"},

	"Machine.setting":    {Label: "Where it stands"},
	"Machine.water_line": {Label: "Its water line"},
	"Machine.pump":       {Label: "What pushes the water", Blank: "as such machines usually have it"},
	"Machine.control":    {Label: "What holds its temperature", Blank: "as such machines usually have it"},
	"Machine.vessels":    {Label: "What heats water"},
	"Machine.groups":     {Label: "Groups"},
	"Machine.habit":      {Label: "What it makes on an ordinary day"},

	"Vessel.kind":        {Label: "What it is"},
	"Vessel.material":    {Label: "Made of", Blank: "not known"},
	"Vessel.litres":      {Label: "What it holds, litres"},
	"Vessel.watts":       {Label: "Watts of its heater"},
	"Vessel.celsius":     {Label: "Its water, °C", Hint: "or its pressure below"},
	"Vessel.gauge_bar":   {Label: "Steam pressure by its gauge, bar"},
	"Vessel.orifice_mm":  {Label: "Smallest bore on the way to the cup, mm"},
	"Vessel.no_descaler": {Label: "Its maker forbids descaling acid", Hint: "in the maker’s words; open where it does not"},
	"Vessel.descaled":    {Label: "How its maker has it descaled", Blank: "not known"},

	"Group.three_way_valve": {Label: "It has a three-way valve", Hint: "without one it drips on after the shot, and there is no backflush"},
	"Group.lever":           {Label: "A lever drives a piston"},
	"Group.spring":          {Label: "A spring drives the piston of the lever"},
	"Group.cam":             {Label: "A small lever turns a cam that opens valves for a pump"},
	"Group.gasket":          {Label: "Its gasket is of", Blank: "not known"},
	"Group.seal_celsius":    {Label: "At the gasket while hot, °C"},

	"Habit.since":               {Label: "This habit began on", Hint: "the days before stay as they were; open where it always was so"},
	"Habit.weekday_shots":       {Label: "Shots a day, Monday to Friday"},
	"Habit.weekend_shots":       {Label: "Shots a day, Saturday and Sunday", Hint: "0 for none; open where they are as on other days"},
	"Habit.steamed_share":       {Label: "Share of them with steamed milk", Hint: "0.4 is four in ten, 0 is none; open where nobody knows"},
	"Habit.steamed_shots":       {Label: "Or shots a day with steamed milk"},
	"Habit.hot_water_litres":    {Label: "Hot water drawn a day, litres", Hint: "0 for none; open where nobody knows"},
	"Habit.dose_grams":          {Label: "Dry coffee a shot, g"},
	"Habit.yield_grams":         {Label: "Drink in the cup a shot, g"},
	"Habit.hot_hours":           {Label: "Hours a day at temperature", Hint: "or a timer below"},
	"Habit.hot_timer":           {Label: "Timer"},
	"Habit.flush_before_grams":  {Label: "Water through the group before each shot, g"},
	"Habit.flush_after_grams":   {Label: "Water through the group after each shot, g"},
	"Habit.warm_up_grams":       {Label: "Water through the group once a day, g"},
	"Habit.puck_grams_per_gram": {Label: "Water left in the puck, g a gram of coffee"},
	"Habit.steam_grams":         {Label: "Steam for one milk drink, g"},
	"Habit.drinks":              {Label: "Names of drinks in your log"},

	"Drink.name":             {Label: "Name", Hint: "as the log writes it"},
	"Drink.steamed":          {Label: "It takes steamed milk"},
	"Drink.hot_water_litres": {Label: "Hot water for it, litres"},

	"Grinder.setting":           {Label: "Where it stands"},
	"Grinder.drive":             {Label: "What turns it"},
	"Grinder.burr_geometry":     {Label: "Its burrs are"},
	"Grinder.burr_diameter_mm":  {Label: "Across the burrs, mm", Hint: "measure it, or look it up"},
	"Grinder.serves":            {Label: "It grinds for"},
	"Grinder.burr_material":     {Label: "Burrs of", Blank: "steel, as most"},
	"Grinder.burr_coated":       {Label: "The burrs have a hard coating"},
	"Grinder.roast":             {Label: "Mostly grinds a roast that is", Blank: "medium"},
	"Grinder.seconds_per_click": {Label: "Seconds that a shot takes longer for each click finer"},
	"Grinder.finer_is_higher":   {Label: "Its scale counts up towards fine"},

	"WaterLine.supply":    {Label: "Its water comes from"},
	"WaterLine.treatment": {Label: "What the water goes through, in its order"},

	"Treatment.kind":              {Label: "What it is"},
	"Treatment.fitted":            {Label: "First cartridge fitted on", Hint: "later ones are written down as done; the line’s own day where left open"},
	"Treatment.rated_litres":      {Label: "What its maker says it treats, litres"},
	"Treatment.rated_hardness_dh": {Label: "At this hardness, °dH"},
	"Treatment.bypass_share":      {Label: "Share of the water that goes round it", Hint: "0.3 is three in ten; behind a membrane the raw water blended in"},
	"Treatment.hydrogen_share":    {Label: "Share on hydrogen", Hint: "of a mixed one alone"},
	"Treatment.months":            {Label: "Its maker’s age limit, months"},
	"Treatment.regenerated":       {Label: "A resin that stays and is made fresh with salt", Blank: "no, a cartridge"},
	"Treatment.before":            {Label: "Before that one there stood", Blank: "nobody knows"},

	"Tools.setting": {Label: "Where they are used"},
	"Tools.have":    {Label: "Which"},

	"OwnTask.equipment": {Label: "To which equipment"},
	"OwnTask.title":     {Label: "What is to be done", Hint: "such as: oil the hinges"},
	"OwnTask.months":    {Label: "Every so many months"},
	"OwnTask.days":      {Label: "Or every so many days"},
	"OwnTask.driver":    {Label: "Or by what is counted", Blank: "by time alone"},
	"OwnTask.limit":     {Label: "So many of them"},
	"OwnTask.minutes":   {Label: "Minutes that it takes", Hint: "15 where left open"},
	"OwnTask.cautions":  {Label: "Cautions", Hint: "a line each"},
	"OwnTask.steps":     {Label: "Steps", Hint: "a line each"},
	"OwnTask.note":      {Label: "Note", Hint: "may be left open"},
}

// choiceWords say what a choice is where its word in a place file does not by itself.
var choiceWords = map[string]string{
	"Machine.setting/home": "at home, or in an office kitchen", "Machine.setting/bar": "in a bar or café",
	"Grinder.setting/home": "at home, or in an office kitchen", "Grinder.setting/bar": "in a bar or café",
	"Tools.setting/home": "at home, or in an office kitchen", "Tools.setting/bar": "in a bar or café",
	"Past.state/new": "was new on a day", "Past.state/cared for": "was cared for up to a day", "Past.state/unknown": "has a past that nobody knows",
	"Vessel.descaled/opened": "in place: it opens to the air", "Vessel.descaled/pumped through": "the acid is pumped through", "Vessel.descaled/by a workshop": "by a workshop",
	"Grinder.drive/hand": "a hand", "Grinder.drive/motor": "a motor",
	"WaterLine.supply/mains": "the mains", "WaterLine.supply/tank": "a tank that is filled by hand",
	"Treatment.kind/sediment": "a sediment filter", "Treatment.kind/carbon": "a carbon filter, for taste", "Treatment.kind/softener": "a softener, on sodium",
	"Treatment.kind/decarboniser": "a decarboniser, on hydrogen", "Treatment.kind/mixed": "mixed, partly on hydrogen", "Treatment.kind/reverse osmosis": "reverse osmosis",
	"Treatment.before/none": "nothing", "Treatment.before/the like": "another of its kind",
	"Treatment.regenerated/by hand": "yes, by hand", "Treatment.regenerated/by itself": "yes, by itself, by a valve",
}
