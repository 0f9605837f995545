#!/usr/bin/ruby
# Reads calendars strictly with Ruby's icalendar, and writes what it found as JSON,
# one line for each file of the folder named, so that a test can compare it with what
# went in. The library knows zones by the calendar's own VTIMEZONE alone. Whatever it
# remarks on, or finds not valid, goes to standard error and ends the run with a
# failure.
require "icalendar"
require "json"
require "stringio"

$stdout.sync = false
remarks = []

def instant(value)
  return nil if value.nil?
  return value.strftime("%Y-%m-%d") if value.is_a?(Icalendar::Values::Date)
  value.to_time.getutc.strftime("%Y-%m-%dT%H:%M:%SZ")
end

def item(component)
  {
    uid: component.uid.to_s, summary: component.summary.to_s,
    start: instant(component.dtstart), due: component.respond_to?(:due) ? instant(component.due) : nil,
    end: component.respond_to?(:dtend) ? instant(component.dtend) : nil,
    categories: component.categories.flat_map { |c| c.respond_to?(:map) && !c.is_a?(String) ? c.map(&:to_s) : [c.to_s] },
    rrule: component.rrule.map(&:value_ical).join,
  }
end

Dir.children(ARGV[0]).sort.each do |file|
  begin
    calendars = Icalendar::Parser.new(File.read(File.join(ARGV[0], file), encoding: "UTF-8"), true).parse
    remarks << "#{file}: #{calendars.length} calendars" unless calendars.length == 1
    calendar = calendars[0]
    parts = [calendar] + calendar.timezones + calendar.events + calendar.todos + (calendar.events + calendar.todos).flat_map(&:alarms)
    parts.each { |part| remarks << "#{file}: a #{part.ical_name} is not valid" unless part.valid?(true) }
    odd = calendar.custom_properties.keys.reject { |name| name.start_with?("x_") }
    remarks << "#{file}: properties it does not know: #{odd.join(", ")}" unless odd.empty?
    puts JSON.generate(file: file, zones: calendar.timezones.map { |z| z.tzid.to_s }, events: calendar.events.map { |e| item(e) }, todos: calendar.todos.map { |t| item(t) })
  rescue StandardError => e
    remarks << "#{file}: #{e.class}: #{e.message} #{e.backtrace.first}"
  end
end

unless remarks.empty?
  warn remarks.first(20)
  exit 1
end
