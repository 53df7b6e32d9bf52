import { z } from 'zod';

// Only what is used is named; everything the program writes is optional, because a damaged file leaves out anything.
const tags = z.record(z.string(), z.string()).optional();

const stream = z.object({
  index: z.number(),
  codec_type: z.string().optional(),
  codec_name: z.string().optional(),
  codec_tag_string: z.string().optional(),
  width: z.number().optional(),
  height: z.number().optional(),
  pix_fmt: z.string().optional(),
  color_range: z.string().optional(),
  color_transfer: z.string().optional(),
  color_primaries: z.string().optional(),
  field_order: z.string().optional(),
  time_base: z.string().optional(),
  bits_per_raw_sample: z.string().optional(),
  avg_frame_rate: z.string().optional(),
  r_frame_rate: z.string().optional(),
  nb_frames: z.string().optional(),
  duration: z.string().optional(),
  start_time: z.string().optional(),
  disposition: z.object({ attached_pic: z.number().optional() }).optional(),
  side_data_list: z.array(z.object({ rotation: z.number().optional() })).optional(),
  tags,
});

const document = z.object({
  streams: z.array(stream).optional(),
  format: z.object({ format_name: z.string().optional(), duration: z.string().optional(), tags }).optional(),
});

export type ProbedStream = z.output<typeof stream>;
export type Probed = z.output<typeof document>;

/** Reads ffprobe's JSON; undefined where it is none, or cut off. */
export function parseProbeJson(json: string): Probed | undefined {
  try {
    const parsed = document.safeParse(JSON.parse(json));
    return parsed.success ? parsed.data : undefined;
  } catch {
    return undefined;
  }
}

/** The moving picture: the first video stream that is no cover picture. */
export function pictureStream({ streams }: Probed): ProbedStream | undefined {
  return streams?.find((one) => one.codec_type === 'video' && one.disposition?.attached_pic !== 1);
}

/** Text tracks, in their order among each other. */
export function textStreams({
  streams,
}: Probed): readonly { readonly position: number; readonly codec: string }[] {
  return (streams ?? [])
    .filter((one) => one.codec_type === 'subtitle')
    .map((one, position) => ({ position, codec: one.codec_name ?? '' }))
    .filter(({ codec }) => ['mov_text', 'subrip', 'text', 'webvtt', 'ass', 'ssa'].includes(codec));
}

/** A container's tags by lower-case name: containers differ in how they spell them. */
export function tagsOf(holder: { readonly tags?: Record<string, string> } | undefined): Map<string, string> {
  return new Map(Object.entries(holder?.tags ?? {}).map(([name, value]) => [name.toLowerCase(), value]));
}
