// How large a block of metadata may be before it is refused unread.

/** XMP packets above this are refused: the XML reader needs seconds and hundreds of megabytes for larger ones. */
export const maxXmpBytes = 1024 * 1024;

/** No EXIF block of a still needs more: a JPEG segment holds 64 KiB. */
export const maxExifBytes = 1024 * 1024;
