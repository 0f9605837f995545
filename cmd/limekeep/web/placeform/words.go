package placeform

// words say what a field asks for.
type words struct {
	label string
	hint  string
	blank string // of a choice: what none of them means; empty where one must be chosen
}

// fieldWords has the words of each field, by its type and its name in a place file.
var fieldWords = map[string]words{
	"Equipment.name":         {label: "Name", hint: "for people; it may change at any time"},
	"Equipment.bought":       {label: "The day it came to you", hint: "its parts were new then, unless it came used"},
	"Equipment.used":         {label: "It was not new when it came"},
	"Equipment.made":         {label: "The day it was made", hint: "where it came used; its plate or papers may tell"},
	"Equipment.looked_after": {label: "Looked after up to", hint: "up to this day all that is done at least once a year counts as done"},
	"Equipment.records_from": {label: "Written down from", hint: "from this day on all that is done to it is written down"},
	"Equipment.past":         {label: "What is known of a part’s past"},

	"Past.of":     {label: "Of", blank: "all of it"},
	"Past.state":  {label: "It", blank: "is as the rest"},
	"Past.on":     {label: "New on, or cared for up to"},
	"Past.looked": {label: "When last seen it looked", blank: "nobody looked"},

	"Machine.setting":    {label: "Where it stands"},
	"Machine.water_line": {label: "Its water line"},
	"Machine.pump":       {label: "What pushes the water", blank: "as such machines usually have it"},
	"Machine.control":    {label: "What holds its temperature", blank: "as such machines usually have it"},
	"Machine.vessels":    {label: "What heats water"},
	"Machine.groups":     {label: "Groups"},
	"Machine.habit":      {label: "What it makes on an ordinary day"},

	"Vessel.kind":        {label: "What it is"},
	"Vessel.material":    {label: "Made of", blank: "not known"},
	"Vessel.litres":      {label: "Litres that it holds"},
	"Vessel.watts":       {label: "Watts of its heater"},
	"Vessel.celsius":     {label: "Its water, °C", hint: "or its pressure below"},
	"Vessel.gauge_bar":   {label: "Steam pressure by its gauge, bar"},
	"Vessel.orifice_mm":  {label: "Smallest bore on the way to the cup, mm"},
	"Vessel.no_descaler": {label: "Its maker forbids descaling acid", hint: "in the maker’s words; open where it does not"},
	"Vessel.descaled":    {label: "How its maker has it descaled", blank: "not known"},

	"Group.three_way_valve": {label: "It has a three-way valve", hint: "without one it drips on after the shot, and there is no backflush"},
	"Group.lever":           {label: "A lever drives a piston"},
	"Group.spring":          {label: "A spring drives the piston of the lever"},
	"Group.cam":             {label: "A small lever turns a cam that opens valves for a pump"},
	"Group.gasket":          {label: "Its gasket is of", blank: "not known"},
	"Group.seal_celsius":    {label: "At the gasket while hot, °C"},

	"Habit.since":               {label: "This habit began on", hint: "the days before stay as they were; open where it always was so"},
	"Habit.weekday_shots":       {label: "Shots a day, Monday to Friday"},
	"Habit.weekend_shots":       {label: "Shots a day, Saturday and Sunday"},
	"Habit.steamed_share":       {label: "Share of them with steamed milk", hint: "0.4 is four in ten, 0 is none; open where nobody knows"},
	"Habit.steamed_shots":       {label: "Or shots a day with steamed milk"},
	"Habit.hot_water_litres":    {label: "Hot water drawn a day, litres", hint: "0 for none; open where nobody knows"},
	"Habit.dose_grams":          {label: "Dry coffee a shot, g"},
	"Habit.yield_grams":         {label: "Drink in the cup a shot, g"},
	"Habit.hot_hours":           {label: "Hours a day at temperature", hint: "or a timer below"},
	"Habit.hot_timer":           {label: "Timer"},
	"Habit.flush_before_grams":  {label: "Water through the group before each shot, g"},
	"Habit.flush_after_grams":   {label: "Water through the group after each shot, g"},
	"Habit.warm_up_grams":       {label: "Water through the group once a day, g"},
	"Habit.puck_grams_per_gram": {label: "Water left in the puck, g a gram of coffee"},
	"Habit.steam_grams":         {label: "Steam for one milk drink, g"},
	"Habit.drinks":              {label: "Names of drinks in your log"},

	"Drink.name":             {label: "Name", hint: "as the log writes it"},
	"Drink.steamed":          {label: "It takes steamed milk"},
	"Drink.hot_water_litres": {label: "Hot water for it, litres"},

	"Grinder.setting":           {label: "Where it stands"},
	"Grinder.drive":             {label: "What turns it"},
	"Grinder.burr_geometry":     {label: "Its burrs are"},
	"Grinder.burr_diameter_mm":  {label: "Across the burrs, mm", hint: "measure it, or look it up"},
	"Grinder.serves":            {label: "It grinds for"},
	"Grinder.burr_material":     {label: "Burrs of", blank: "steel, as most"},
	"Grinder.burr_coated":       {label: "The burrs have a hard coating"},
	"Grinder.roast":             {label: "Mostly grinds a roast that is", blank: "medium"},
	"Grinder.seconds_per_click": {label: "Seconds that a shot takes longer for each click finer"},
	"Grinder.finer_is_higher":   {label: "Its scale counts up towards fine"},

	"WaterLine.supply":    {label: "Its water comes from"},
	"WaterLine.treatment": {label: "What the water goes through, in its order"},

	"Treatment.kind":              {label: "What it is"},
	"Treatment.fitted":            {label: "First cartridge fitted on", hint: "later ones are written down as done; the line’s own day where left open"},
	"Treatment.rated_litres":      {label: "Litres that its maker says it treats"},
	"Treatment.rated_hardness_dh": {label: "At this hardness, °dH"},
	"Treatment.bypass_share":      {label: "Share of the water that goes round it", hint: "0.3 is three in ten; behind a membrane the raw water blended in"},
	"Treatment.hydrogen_share":    {label: "Share on hydrogen", hint: "of a mixed one alone"},
	"Treatment.months":            {label: "Its maker’s age limit, months"},
	"Treatment.regenerated":       {label: "A resin that stays and is made fresh with salt", blank: "no, a cartridge"},
	"Treatment.before":            {label: "Before that one there stood", blank: "nobody knows"},

	"Tools.setting": {label: "Where they are used"},
	"Tools.have":    {label: "Which"},

	"OwnTask.equipment": {label: "To which equipment"},
	"OwnTask.title":     {label: "What is to be done", hint: "such as: oil the hinges"},
	"OwnTask.months":    {label: "Every so many months"},
	"OwnTask.days":      {label: "Or every so many days"},
	"OwnTask.driver":    {label: "Or by what is counted", blank: "by time alone"},
	"OwnTask.limit":     {label: "So many of them"},
	"OwnTask.minutes":   {label: "Minutes that it takes", hint: "15 where left open"},
	"OwnTask.cautions":  {label: "Cautions", hint: "a line each"},
	"OwnTask.steps":     {label: "Steps", hint: "a line each"},
	"OwnTask.note":      {label: "Note", hint: "may be left open"},
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
