// What a compressed MusicXML file is told apart by: the place of its container and the type of a score.
export const CONTAINER = 'META-INF/container.xml';
/** Registered for an uncompressed score; a root file without a type is one (W3C MusicXML 4.0, rootfile). */
export const SCORE_TYPE = 'application/vnd.recordare.musicxml+xml';
