// One part in space: its triangles, and the edges that an eye would draw.
import { apply_material, THREE } from "nicegui-scene";

export default class Solid {
  async create_mesh(points, triangles, opacity) {
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.Float32BufferAttribute(points, 3));
    geometry.setIndex(triangles);
    const flat = geometry.toNonIndexed();
    flat.computeVertexNormals();
    const material = new THREE.MeshPhongMaterial({ transparent: opacity < 1, depthWrite: opacity === 1, shininess: 8 });
    this.faces = new THREE.Mesh(flat, material);
    const group = new THREE.Group();
    group.add(this.faces);
    if (opacity === 1) {
      const ink = new THREE.LineBasicMaterial({ color: 0x1d2327, transparent: true, opacity: 0.45 });
      group.add(new THREE.LineSegments(new THREE.EdgesGeometry(geometry, 30), ink));
    }
    return group;
  }

  apply_material(info) {
    apply_material(this.faces.material, info);
  }
}
