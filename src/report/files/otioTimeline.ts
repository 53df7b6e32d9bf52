import type { AuditDocument, ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { displayable } from '../../domain/displayText.ts';
import { framesPerSecond } from '../../domain/frameRate.ts';
import { fileName } from '../arrangement.ts';
import {
  clipTime,
  clipTimecode,
  markFrames,
  marksOf,
  markText,
  markTitles,
  type ClipTime,
  type Mark,
} from '../marks.ts';
import { jsonReport } from './jsonReport.ts';

/*
 * OpenTimelineIO, as its "Serialized Data Documentation" has it (Academy Software Foundation; the classes and field
 * names of the version with Clip.2 and Marker.2): one video track with the clips in shooting order, each with what the
 * file holds and a marker for each stretch. Times of a clip go by its own frames, from its recorded timecode on.
 */

// The colours that the format knows, none of them a grade: what a marker means is in its name.
const markerColours: Readonly<Record<Mark['kind'], string>> = {
  clipped: 'MAGENTA',
  stutter: 'CYAN',
  smear: 'BLUE',
  unread: 'BLACK',
  usable: 'WHITE',
};

/** The flight as a timeline for editing programs. Clips whose length or rate is unknown have no place in it. */
export function otioTimeline(document: AuditDocument): string {
  const { dump, generatedAt, recordings, settings } = displayable(document);
  const clips = recordings.flatMap((recording, index) => {
    const time = clipTime(recording);
    // The address must find the file, so it is made of the path itself and not of what is printed of it.
    const url = fileUrl(document.recordings[index]!.path);
    return time === undefined ? [] : clip(recording, time, url, settings);
  });
  const track = { ...item('Track.1', 'In shooting order'), kind: 'Video', children: clips };
  return jsonReport({
    OTIO_SCHEMA: 'Timeline.1',
    metadata: { halfturn: { dump, generatedAt } },
    name: `Flight audit of ${dump}`,
    global_start_time: null,
    tracks: { ...item('Stack.1', 'tracks'), children: [track] },
  });
}

function clip(recording: ReportedRecording, time: ClipTime, url: string, settings: ReportedSettings) {
  const clipRange = timeRange(time, { firstFrame: 0, frameCount: time.frameCount });
  const name = fileName(recording.path);
  const media = {
    OTIO_SCHEMA: 'ExternalReference.1',
    metadata: {},
    name,
    available_range: clipRange,
    available_image_bounds: null,
    target_url: url,
  };
  return {
    ...item('Clip.2', name),
    source_range: clipRange,
    markers: marksOf(recording, settings).map((mark) => marker(mark, time)),
    metadata: {
      halfturn: {
        path: recording.path,
        startTimecode: clipTimecode(0, time),
        findings: recording.findings.map(({ kind, weight, text }) => ({ kind, weight, text })),
      },
    },
    media_references: { DEFAULT_MEDIA: media },
    active_media_reference_key: 'DEFAULT_MEDIA',
  };
}

function marker(mark: Mark, time: ClipTime) {
  const frames = markFrames(mark, time);
  return {
    OTIO_SCHEMA: 'Marker.2',
    metadata: { halfturn: { kind: mark.kind, timecode: clipTimecode(frames.firstFrame, time) } },
    name: markTitles[mark.kind],
    color: markerColours[mark.kind],
    comment: markText(mark),
    marked_range: timeRange(time, frames),
  };
}

function item(schema: string, name: string) {
  return {
    OTIO_SCHEMA: schema,
    metadata: {},
    name,
    source_range: null as object | null,
    effects: [],
    markers: [] as readonly object[],
    enabled: true,
  };
}

function timeRange(
  { frameRate, startFrame }: ClipTime,
  { firstFrame, frameCount }: { firstFrame: number; frameCount: number },
) {
  const rate = framesPerSecond(frameRate);
  const time = (value: number) => ({ OTIO_SCHEMA: 'RationalTime.1', rate, value });
  return {
    OTIO_SCHEMA: 'TimeRange.1',
    start_time: time(startFrame + firstFrame),
    duration: time(frameCount),
  };
}

/** A path of the dump as a relative address (RFC 3986): all but letters, digits and a few signs is encoded. */
function fileUrl(path: string): string {
  return path
    .split('/')
    .map((part) => encodeURIComponent(part.toWellFormed()))
    .join('/');
}
