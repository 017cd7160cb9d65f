// Runs before the map is built.

// The map stands instead of the still picture, before it looks how large it is.
document.body.dataset.live = "yes";

// Leaflet rounds every corner to a whole pixel, which makes small trees square and lanes crooked.
L.Map.include({
  latLngToLayerPoint(latlng) {
    const point = this.project(L.latLng(latlng)).subtract(this.getPixelOrigin());
    return point.multiplyBy(20).round().divideBy(20);
  },
});
