/* Reads calendars with libical, and writes what it found as JSON, one line for
 * each file of the folder named, so that a test can compare it with what went
 * in. Whatever the library remarks on goes to standard error and ends the run
 * with a failure. Zones are read from the calendars' own VTIMEZONEs. */
#include <dirent.h>
#include <libical/ical.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int remarks = 0;

static void remark(const char *file, const char *what, const char *text)
{
	fprintf(stderr, "%s: %s: %s\n", file, what, text ? text : "");
	remarks++;
}

static void quoted(const char *s)
{
	putchar('"');
	for (; s && *s; s++) {
		unsigned char c = (unsigned char)*s;
		if (c == '"' || c == '\\') printf("\\%c", c);
		else if (c < 0x20) printf("\\u%04x", c);
		else putchar(c);
	}
	putchar('"');
}

static void text_field(const char *name, const char *value)
{
	printf("\"%s\":", name);
	quoted(value);
	putchar(',');
}

static char *slurp(const char *path)
{
	FILE *f = fopen(path, "rb");
	char *text;
	long n;
	if (!f) { perror(path); exit(1); }
	fseek(f, 0, SEEK_END);
	n = ftell(f);
	rewind(f);
	text = malloc((size_t)n + 1);
	if (!text || fread(text, 1, (size_t)n, f) != (size_t)n) { perror(path); exit(1); }
	text[n] = 0;
	fclose(f);
	return text;
}

/* The instant of a time in seconds since 1970; a whole day counts as its midnight in UTC. */
static time_t seconds_of(struct icaltimetype t)
{
	if (t.is_date || !t.zone) return icaltime_as_timet(t);
	return icaltime_as_timet_with_zone(t, t.zone);
}

static void instant(const char *name, struct icaltimetype t)
{
	if (icaltime_is_null_time(t)) return;
	if (t.is_date) {
		printf("\"%s\":\"%04d-%02d-%02d\",", name, t.year, t.month, t.day);
		return;
	}
	struct icaltimetype u = icaltime_from_timet_with_zone(seconds_of(t), 0, icaltimezone_get_utc_timezone());
	printf("\"%s\":\"%04d-%02d-%02dT%02d:%02d:%02dZ\",", name, u.year, u.month, u.day, u.hour, u.minute, u.second);
}

static icalproperty *first(icalcomponent *c, icalproperty_kind kind) { return icalcomponent_get_first_property(c, kind); }

/* The time of a property, with the zone of the calendar around it. */
static struct icaltimetype when(icalcomponent *c, icalcomponent *calendar, icalproperty_kind kind)
{
	icalproperty *p = first(c, kind);
	return p ? icalproperty_get_datetime_with_component(p, calendar) : icaltime_null_time();
}

static void zone_of(struct icaltimetype t)
{
	text_field("zone", t.is_date || !t.zone ? "" : icaltimezone_get_tzid((icaltimezone *)t.zone) ? icaltimezone_get_tzid((icaltimezone *)t.zone) : icaltimezone_get_location((icaltimezone *)t.zone));
	if (t.is_date) text_field("local", "");
	else printf("\"local\":\"%04d-%02d-%02dT%02d:%02d:%02d\",", t.year, t.month, t.day, t.hour, t.minute, t.second);
	printf("\"allDay\":%s,", t.is_date ? "true" : "false");
}

static void alarms(const char *file, icalcomponent *c, int related)
{
	icalcomponent *a;
	const char *comma = "";
	printf("\"alarms\":[");
	for (a = icalcomponent_get_first_component(c, ICAL_VALARM_COMPONENT); a; a = icalcomponent_get_next_component(c, ICAL_VALARM_COMPONENT)) {
		icalproperty *p = first(a, ICAL_TRIGGER_PROPERTY);
		struct icaltriggertype trigger = icalproperty_get_trigger(p);
		if (icaltriggertype_is_bad_trigger(trigger)) remark(file, "bad trigger", "");
		printf("%s%d", comma, icaldurationtype_as_int(trigger.duration));
		comma = ",";
	}
	printf("],\"alarmTexts\":[");
	comma = "";
	for (a = icalcomponent_get_first_component(c, ICAL_VALARM_COMPONENT); a; a = icalcomponent_get_next_component(c, ICAL_VALARM_COMPONENT)) {
		printf("%s", comma);
		quoted(icalproperty_get_description(first(a, ICAL_DESCRIPTION_PROPERTY)));
		comma = ",";
	}
	printf("],");
	if (!related) return;
	printf("\"related\":[");
	comma = "";
	for (a = icalcomponent_get_first_component(c, ICAL_VALARM_COMPONENT); a; a = icalcomponent_get_next_component(c, ICAL_VALARM_COMPONENT)) {
		icalparameter *r = icalproperty_get_first_parameter(first(a, ICAL_TRIGGER_PROPERTY), ICAL_RELATED_PARAMETER);
		printf("%s\"%s\"", comma, r && icalparameter_get_related(r) == ICAL_RELATED_END ? "END" : "START");
		comma = ",";
	}
	printf("],");
}

static void item(const char *file, icalcomponent *c, icalcomponent *calendar)
{
	int todo = icalcomponent_isa(c) == ICAL_VTODO_COMPONENT;
	icalproperty *p;
	const char *comma = "";
	struct icaltimetype start = when(c, calendar, ICAL_DTSTART_PROPERTY);
	struct icaltimetype other = when(c, calendar, todo ? ICAL_DUE_PROPERTY : ICAL_DTEND_PROPERTY);
	printf("{");
	text_field("uid", icalcomponent_get_uid(c));
	text_field("summary", icalcomponent_get_summary(c));
	text_field("description", icalcomponent_get_description(c));
	printf("\"categories\":[");
	for (p = first(c, ICAL_CATEGORIES_PROPERTY); p; p = icalcomponent_get_next_property(c, ICAL_CATEGORIES_PROPERTY)) {
		printf("%s", comma);
		quoted(icalproperty_get_categories(p));
		comma = ",";
	}
	printf("],");
	p = first(c, ICAL_URL_PROPERTY);
	text_field("url", p ? icalproperty_get_url(p) : "");
	zone_of(todo && !icaltime_is_null_time(other) ? other : start);
	instant("start", start);
	if (todo) {
		instant("due", other);
		instant("completed", when(c, calendar, ICAL_COMPLETED_PROPERTY));
		printf("\"percent\":%d,", icalproperty_get_percentcomplete(first(c, ICAL_PERCENTCOMPLETE_PROPERTY)));
	} else {
		instant("end", other);
		printf("\"minutes\":%.17g,", (double)(seconds_of(other) - seconds_of(start)) / 60);
		text_field("transp", icalproperty_enum_to_string(icalproperty_get_transp(first(c, ICAL_TRANSP_PROPERTY))));
	}
	instant("stamp", when(c, calendar, ICAL_DTSTAMP_PROPERTY));
	instant("modified", when(c, calendar, ICAL_LASTMODIFIED_PROPERTY));
	text_field("status", icalproperty_status_to_string(icalcomponent_get_status(c)));
	p = first(c, ICAL_RRULE_PROPERTY);
	if (p) {
		struct icalrecurrencetype rule = icalproperty_get_rrule(p);
		text_field("rrule", icalrecurrencetype_as_string(&rule));
	}
	alarms(file, c, todo);
	printf("\"sequence\":%d}", icalproperty_get_sequence(first(c, ICAL_SEQUENCE_PROPERTY)));
}

/* What the parser could not read it leaves as X-LIC-ERROR properties. */
static void faults(const char *file, icalcomponent *c)
{
	icalproperty *p;
	icalcomponent *inner;
	for (p = first(c, ICAL_XLICERROR_PROPERTY); p; p = icalcomponent_get_next_property(c, ICAL_XLICERROR_PROPERTY)) remark(file, "parser", icalproperty_get_xlicerror(p));
	for (inner = icalcomponent_get_first_component(c, ICAL_ANY_COMPONENT); inner; inner = icalcomponent_get_next_component(c, ICAL_ANY_COMPONENT)) faults(file, inner);
}

static void components(const char *file, icalcomponent *calendar, const char *name, icalcomponent_kind kind)
{
	icalcomponent *c;
	const char *comma = "";
	printf("\"%s\":[", name);
	for (c = icalcomponent_get_first_component(calendar, kind); c; c = icalcomponent_get_next_component(calendar, kind)) {
		printf("%s", comma);
		item(file, c, calendar);
		comma = ",";
	}
	printf("]");
}

static void read_calendar(const char *folder, const char *file)
{
	char path[4096];
	char *text;
	icalcomponent *calendar, *c;
	const char *comma = "";
	snprintf(path, sizeof path, "%s/%s", folder, file);
	text = slurp(path);
	icalerror_clear_errno();
	calendar = icalparser_parse_string(text);
	if (!calendar) { remark(file, "not a calendar", icalerror_strerror(icalerrno)); return; }
	faults(file, calendar);
	/* The restrictions are those of scheduling (RFC 5546) where a method is
	 * named, of RFC 5545 where none is. */
	if (!icalrestriction_check(calendar)) faults(file, calendar);
	if (icalcomponent_isa(calendar) != ICAL_VCALENDAR_COMPONENT) { remark(file, "not one calendar", ""); return; }
	printf("{");
	text_field("file", file);
	printf("\"zones\":[");
	for (c = icalcomponent_get_first_component(calendar, ICAL_VTIMEZONE_COMPONENT); c; c = icalcomponent_get_next_component(calendar, ICAL_VTIMEZONE_COMPONENT)) {
		printf("%s", comma);
		quoted(icalproperty_get_tzid(first(c, ICAL_TZID_PROPERTY)));
		comma = ",";
	}
	printf("],");
	components(file, calendar, "events", ICAL_VEVENT_COMPONENT);
	printf(",");
	components(file, calendar, "todos", ICAL_VTODO_COMPONENT);
	printf("}\n");
	if (icalerrno != ICAL_NO_ERROR) remark(file, "error", icalerror_strerror(icalerrno));
	icalcomponent_free(calendar);
	free(text);
}

int main(int argc, char **argv)
{
	struct dirent **names;
	int i, n;
	if (argc != 2) { fprintf(stderr, "give a folder\n"); return 2; }
	icaltimezone_set_tzid_prefix("");
	n = scandir(argv[1], &names, NULL, alphasort);
	if (n < 0) { perror(argv[1]); return 1; }
	for (i = 0; i < n; i++) {
		if (names[i]->d_name[0] != '.') read_calendar(argv[1], names[i]->d_name);
	}
	return remarks > 0;
}
