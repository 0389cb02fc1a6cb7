fn main() {
    let libraries = std::env::var("TW_LIBRARY_DIR").expect("TW_LIBRARY_DIR: the folder of libtarewise_c");
    println!("cargo:rustc-link-search=native={libraries}");
    println!("cargo:rustc-link-lib=dylib=tarewise_c");
    println!("cargo:rerun-if-env-changed=TW_LIBRARY_DIR");
}
