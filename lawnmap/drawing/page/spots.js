/* What the sheet calls a point, [right, up], and what Leaflet calls it; how near a finger or a mouse comes. */

export const SNAP_PX = window.matchMedia("(pointer: coarse)").matches ? 22 : 11;

export const latlng = ([right, up]) => window.L.latLng(up, right);

export const spot = ({ lat, lng }) => [lng, lat];

export const middle = ([a, b], [c, d]) => [(a + c) / 2, (b + d) / 2];
