import { parentPort, workerData } from 'node:worker_threads';
import type { HeifAnswer, HeifQuestion } from './heifPixels.ts';

// Run by heifPixels.ts as a thread of its own, which can be ended and takes its memory with it.

const pageBytes = 65_536;

/** No option bounds the memory of a module that makes its own; it asks here for every page. */
function boundMemory(mostBytes: number): void {
  // oxlint-disable-next-line typescript/unbound-method -- it is called with its own object below
  const grow = WebAssembly.Memory.prototype.grow;
  WebAssembly.Memory.prototype.grow = function (pages) {
    if (this.buffer.byteLength + Number(pages) * pageBytes > mostBytes)
      throw new RangeError('more memory than a picture needs');
    return grow.call(this, pages);
  };
}

async function answer({ file, mostPixels, mostMemoryBytes }: HeifQuestion): Promise<HeifAnswer> {
  boundMemory(mostMemoryBytes);
  const library = await import('libheif-js/wasm-bundle.js').then(
    (module) => module.default,
    () => undefined,
  );
  if (library === undefined) return { failed: 'missing', reason: 'the package is not installed' };
  const context = library.heif_context_alloc();
  const read = library.heif_context_read_from_memory(context, file);
  if (read.code !== library.heif_error_code.heif_error_Ok) return { failed: 'damaged', reason: read.message };
  const handle = library.heif_js_context_get_primary_image_handle(context);
  if ('message' in handle) return { failed: 'damaged', reason: handle.message };
  const pixels = library.heif_image_handle_get_width(handle) * library.heif_image_handle_get_height(handle);
  if (pixels > mostPixels) return { failed: 'large', reason: `${pixels} pixels` };
  const { heif_colorspace_RGB: colours } = library.heif_colorspace;
  const image = library.heif_js_decode_image2(
    handle,
    colours,
    library.heif_chroma.heif_chroma_interleaved_RGB,
  );
  if ('message' in image) return { failed: 'damaged', reason: image.message };
  const { width, height, channels } = image;
  const [channel] = channels;
  if (channel === undefined || width * height > mostPixels)
    return { failed: 'damaged', reason: 'no picture' };
  return { width, height, codes: withoutPadding(channel, width, height) };
}

/** Rows begin at even places in the module's memory. */
function withoutPadding(
  { data, stride }: { readonly data: Uint8Array; readonly stride: number },
  width: number,
  height: number,
): Uint8Array<ArrayBuffer> {
  const codes = new Uint8Array(width * height * 3);
  for (let row = 0; row < height; row += 1)
    codes.set(data.subarray(row * stride, row * stride + width * 3), row * width * 3);
  return codes;
}

function tell(reply: HeifAnswer): void {
  parentPort?.postMessage(reply, 'codes' in reply ? [reply.codes.buffer] : []);
}

answer(workerData as HeifQuestion).then(tell, (thrown: unknown) =>
  tell({ failed: 'damaged', reason: thrown instanceof Error ? thrown.message : String(thrown) }),
);
