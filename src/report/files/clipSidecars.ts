import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { displayable } from '../../domain/displayText.ts';
import { isFlagged } from '../arrangement.ts';
import { filterText } from '../filterWording.ts';
import { framesPerSecond } from '../../domain/frameRate.ts';
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

/*
 * XMP (ISO 16684-1) with the "Dynamic Media" schema for the markers. No rating: stars are the editor's word on a shot,
 * and a number that was put there by a program would be taken for one.
 */

/** The closed list of xmpDM:timeFormat, by exact rate. 24000/1001 has no drop-frame counting. */
const timeFormats: Readonly<Record<string, readonly [nonDrop: string, drop?: string]>> = {
  '24000/1001': ['23976Timecode'],
  '24/1': ['24Timecode'],
  '25/1': ['25Timecode'],
  '30000/1001': ['2997NonDropTimecode', '2997DropTimecode'],
  '30/1': ['30Timecode'],
  '50/1': ['50Timecode'],
  '60000/1001': ['5994NonDropTimecode', '5994DropTimecode'],
  '60/1': ['60Timecode'],
};

/** What was found in one recording, as a sidecar for its copy. */
export function xmpSidecar(recording: ReportedRecording, settings: ReportedSettings): string {
  const shown = displayable(recording);
  const time = clipTime(shown);
  const parts = [
    element('xmp:Label', isFlagged(shown) ? 'flagged' : 'nothing flagged'),
    `<dc:description><rdf:Alt><rdf:li xml:lang="x-default">${xmlText(description(shown, displayable(settings)))}</rdf:li></rdf:Alt></dc:description>`,
    ...(time === undefined ? [] : [startTimecode(time), markers(shown, settings, time)]),
  ];
  return `<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmpDM="http://ns.adobe.com/xmp/1.0/DynamicMedia/">
${parts.filter((part) => part !== '').join('\n')}
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>
`;
}

function description({ findings, filter }: ReportedRecording, settings: ReportedSettings): string {
  const texts = findings.length === 0 ? ['Nothing was found wrong.'] : findings.map(({ text }) => text);
  return [...texts, (filter && filterText(filter, settings)) ?? []].flat().join(' ');
}

function startTimecode(time: ClipTime): string {
  const { numerator, denominator } = time.frameRate;
  const [nonDrop, drop] = timeFormats[`${numerator}/${denominator}`] ?? [];
  const timeFormat = time.dropFrame ? drop : nonDrop;
  if (timeFormat === undefined) return '';
  return `<xmpDM:startTimecode rdf:parseType="Resource">${element('xmpDM:timeFormat', timeFormat)}${element('xmpDM:timeValue', clipTimecode(0, time))}</xmpDM:startTimecode>`;
}

/** Times are frames from the first one, by the frame rate that the track names. */
function markers(recording: ReportedRecording, settings: ReportedSettings, time: ClipTime): string {
  const { numerator, denominator } = time.frameRate;
  const items = marksOf(recording, settings).map((mark) => {
    const { firstFrame, frameCount } = markFrames(mark, time);
    const fields = [
      element('xmpDM:startTime', String(firstFrame)),
      element('xmpDM:duration', String(frameCount)),
      element('xmpDM:name', markTitles[mark.kind]),
      element('xmpDM:comment', markText(mark)),
      element('xmpDM:type', 'Comment'),
    ];
    return `<rdf:li rdf:parseType="Resource">${fields.join('')}</rdf:li>`;
  });
  if (items.length === 0) return '';
  return `<xmpDM:Tracks><rdf:Bag><rdf:li rdf:parseType="Resource">
${element('xmpDM:trackName', 'Halfturn')}${element('xmpDM:trackType', 'Comment')}${element('xmpDM:frameRate', `f${numerator}s${denominator}`)}
<xmpDM:markers><rdf:Seq>
${items.join('\n')}
</rdf:Seq></xmpDM:markers>
</rdf:li></rdf:Bag></xmpDM:Tracks>`;
}

function element(name: string, text: string): string {
  return text === '' ? '' : `<${name}>${xmlText(text)}</${name}>`;
}

// What a terminal would obey is spelled out before; XML 1.0 section 2.2 leaves out two more characters.
function xmlText(text: string): string {
  return text
    .replace(/[\ufffe\uffff]/g, '\ufffd')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** The marks of a clip as a text track (W3C WebVTT) that players show; undefined where there is none. */
export function webvttTrack(recording: ReportedRecording, settings: ReportedSettings): string | undefined {
  const shown = displayable(recording);
  const marks = marksOf(shown, settings);
  if (marks.length === 0) return undefined;
  const time = clipTime(shown);
  const cues = marks.map((mark, index) => {
    const { startSeconds, endSeconds } = time === undefined ? mark : cueSpan(mark, time);
    return `${index + 1}\n${cueTime(startSeconds)} --> ${cueTime(endSeconds)}\n${cueText(markText(mark))}`;
  });
  return `${['WEBVTT', ...cues].join('\n\n')}\n`;
}

/**
 * When the first frame is shown, and the one behind the last. In whole thousandths at or before it, so that a player
 * shows the caption for these frames and no others.
 */
function cueSpan(mark: Mark, time: ClipTime) {
  const { firstFrame, frameCount } = markFrames(mark, time);
  const shownAt = (frame: number) =>
    Math.floor((frame / framesPerSecond(time.frameRate)) * 1000 + 1e-6) / 1000;
  return { startSeconds: shownAt(firstFrame), endSeconds: shownAt(firstFrame + frameCount) };
}

/** A place in a clip as WebVTT writes it: 01:01:01.250. */
function cueTime(seconds: number): string {
  const milliseconds = Math.round(seconds * 1000);
  const field = (amount: number, digits: number) => String(Math.floor(amount)).padStart(digits, '0');
  const clock = [milliseconds / 3_600_000, (milliseconds / 60_000) % 60, (milliseconds / 1000) % 60].map(
    (amount) => field(amount, 2),
  );
  return `${clock.join(':')}.${field(milliseconds % 1000, 3)}`;
}

// WebVTT section 4.2.2: "&", "<" and ">" are written as character references, so "-->" cannot end a cue either.
function cueText(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
