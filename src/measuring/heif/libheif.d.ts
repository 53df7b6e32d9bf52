// What is used of the package; its own declarations are of another entry. https://github.com/strukturag/libheif, libheif_api.

declare module 'libheif-js/wasm-bundle.js' {
  interface HeifError {
    readonly code: object;
    readonly message: string;
  }
  interface HeifImage {
    readonly width: number;
    readonly height: number;
    readonly channels: readonly { readonly stride: number; readonly data: Uint8Array }[];
  }
  interface HeifLibrary {
    readonly heif_error_code: { readonly heif_error_Ok: object };
    readonly heif_colorspace: { readonly heif_colorspace_RGB: object };
    readonly heif_chroma: { readonly heif_chroma_interleaved_RGB: object };
    heif_get_version(): string;
    heif_context_alloc(): object;
    heif_context_read_from_memory(context: object, file: Uint8Array): HeifError;
    heif_js_context_get_primary_image_handle(context: object): object | HeifError;
    heif_image_handle_get_width(handle: object): number;
    heif_image_handle_get_height(handle: object): number;
    heif_js_decode_image2(handle: object, colours: object, chroma: object): HeifImage | HeifError;
  }
  const library: HeifLibrary;
  export default library;
}
