// What a page may ask of the system: the microphone, a loudspeaker and MIDI without system-exclusive, for our own page; nothing else.
import { session } from 'electron';
import { isOurs } from './origin.ts';

/** Electron grants every permission unless told otherwise, by three handlers apart. */
export function setUpPermissions(): void {
  const { defaultSession } = session;
  defaultSession.setPermissionRequestHandler((_contents, permission, answer, details) => {
    const types = 'mediaTypes' in details ? (details.mediaTypes ?? []) : [];
    answer(isOurs(details.requestingUrl) && isGranted(permission, types));
  });
  defaultSession.setPermissionCheckHandler((_contents, permission, origin, details) => {
    const types = details.mediaType === undefined ? [] : [details.mediaType];
    return isOurs(origin) && isGranted(permission, types);
  });
  defaultSession.setDevicePermissionHandler(() => false);
}

/** @param media What is asked for when `permission` is media: sound alone is granted. */
function isGranted(permission: string, media: readonly string[]): boolean {
  switch (permission) {
    case 'media':
      return media.length > 0 && media.every((type) => type === 'audio');
    case 'midi':
    case 'speaker-selection':
      return true;
    default:
      return false;
  }
}
